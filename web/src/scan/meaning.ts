import { gtin14 } from '../labels/gtin';
import { namedIn, tradeItemIn } from '../labels/scanned';
import { parseRoute } from '../router';

/** What a scanned text names. `here`: its address is the one these pages were opened at. */
export type Meaning =
  | { kind: 'lot' | 'block'; id: string; here: boolean }
  | { kind: 'item'; gtin: string; code: string; here: boolean }
  /** The check digit does not fit. */
  | { kind: 'misread' }
  | { kind: 'foreign'; text: string };

const uuid = /^[\da-f]{8}(-[\da-f]{4}){3}-[\da-f]{12}$/i;

/**
 * What a scanned text means. The address before the path decides nothing: labels outlive the address
 * they were printed at, and an id or a trade item number is the same everywhere.
 */
export function meaningOf(text: string, origin: string): Meaning {
  const foreign: Meaning = { kind: 'foreign', text };
  if (!/^https?:\/\//i.test(text) || !URL.canParse(text)) return foreign;
  const here = new URL(text).origin === origin;
  const { path } = parseRoute(new URL(text).pathname);
  const named = namedIn(path);
  if (named) return uuid.test(named.id) ? { kind: named.kind, id: named.id.toLowerCase(), here } : foreign;
  const item = tradeItemIn(path);
  if (!item) return foreign;
  const gtin = gtin14(item.gtin);
  return gtin === null ? { kind: 'misread' } : { kind: 'item', gtin, code: item.code, here };
}
