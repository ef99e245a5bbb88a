import { matchPath } from '../router';

/** Where the short address of a label leads, as `/l/<lot>` and `/b/<block>`; null for any other. */
export function scannedPlace(path: string): string | null {
  const lot = matchPath('/l/:id', path)?.id;
  if (lot !== undefined) return `/dock/lots/${encodeURIComponent(lot)}`;
  const block = matchPath('/b/:id', path)?.id;
  return block === undefined ? null : `/walk/blocks/${encodeURIComponent(block)}`;
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
