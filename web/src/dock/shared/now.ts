import { useEffect, useState } from 'preact/hooks';

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
