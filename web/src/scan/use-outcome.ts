import { useEffect, useMemo, useState } from 'preact/hooks';

import type { Site } from '../contract.gen';
import { heldDaybook, loadDaybook } from '../local/daybook';
import { useLoad } from '../parts';
import { format, words } from '../words';
import { askServer } from './ask';
import { placeOf, placeOfName, type From, type Outcome, type Where } from './find';

/** What was scanned: all texts in view, or what one typed. */
export type Scan = { by: 'code'; texts: readonly string[] } | { by: 'name'; text: string };

/** Where a scan leads; null before there is one, 'pending' while that is looked up. */
export function useOutcome(scan: Scan | null, site: Site, from: From): Outcome | 'pending' | null {
  const load = useLoad((abort) => loadDaybook(site.id, abort), [site.id]);
  const held = heldDaybook.value;
  const book = held?.site.id === site.id ? held : null;
  const coming = book === null && load.loading;
  const where = useMemo((): Where => ({ book, from, origin: location.origin, arrived: (date) => words.peek().scan.arrived(format.peek().date(date)) }), [book, from]);
  const here = useMemo(() => {
    if (scan === null || coming) return null;
    return scan.by === 'code' ? placeOf(scan.texts, where) : placeOfName(scan.text, where);
  }, [scan, where, coming]);
  const [asked, setAsked] = useState<{ of: Outcome; outcome: Outcome } | null>(null);
  useEffect(() => {
    if (here?.kind !== 'unknown') return;
    const abort = new AbortController();
    void askServer(here.meaning, site.id, where, abort.signal).then((outcome) => {
      if (!abort.signal.aborted) setAsked({ of: here, outcome });
    });
    return () => abort.abort();
  }, [here]);
  if (scan !== null && coming) return 'pending';
  if (here?.kind !== 'unknown') return here;
  return asked?.of === here ? asked.outcome : 'pending';
}
