import { useEffect, useState } from 'preact/hooks';

import { atZone } from '../../local/zone';
import { serverNow } from '../../session';

/** The server's clock, drawn again every half minute so that hours left stay true. */
export function useNow(): Date {
  const [now, setNow] = useState(serverNow);
  useEffect(() => {
    const timer = setInterval(() => setNow(serverNow()), 30_000);
    return () => clearInterval(timer);
  }, []);
  return now;
}

/** The moment something is recorded, at the site's clock and to the millisecond: two taps within a second keep their order. */
export function recordedNow(zone: string): string {
  const now = serverNow();
  return atZone(now, zone).replace(/T\d\d:\d\d:\d\d/, (clock) => `${clock}.${String(now.getUTCMilliseconds()).padStart(3, '0')}`);
}
