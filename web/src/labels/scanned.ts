import { matchPath } from '../router';

/** What the short address of a label names, as `/l/<lot>` and `/b/<block>`; null for any other. */
export function namedIn(path: string): { kind: 'lot' | 'block'; id: string } | null {
  const lot = matchPath('/l/:id', path)?.id;
  if (lot !== undefined) return { kind: 'lot', id: lot };
  const block = matchPath('/b/:id', path)?.id;
  return block === undefined ? null : { kind: 'block', id: block };
}

/** Where the short address of a label leads; null for any other. */
export function scannedPlace(path: string): string | null {
  const named = namedIn(path);
  if (named === null) return null;
  return `${named.kind === 'lot' ? '/dock/lots' : '/walk/blocks'}/${encodeURIComponent(named.id)}`;
}

const tradeItem = '/01/:gtin/10/:code';

/** The trade item number and the lot's code in an address by AI 01 and 10; null for any other. */
export function tradeItemIn(path: string): { gtin: string; code: string } | null {
  const { gtin, code } = matchPath(tradeItem, path) ?? {};
  return gtin === undefined || code === undefined ? null : { gtin, code };
}

/** Whether a lot has to be looked up by its code first. */
export function isTradeItem(path: string): boolean {
  return tradeItemIn(path) !== null;
}
