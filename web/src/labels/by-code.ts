import type { Cultivar, Lot, Season } from '../contract.gen';
import { gtinOf } from './gtin';

/** Seasons, the latest first: a label is scanned in the season it was printed in, if not always. */
export function latestFirst(seasons: readonly Season[]): Season[] {
  return seasons.toSorted((a, b) => b.starts_on.localeCompare(a.starts_on));
}

/**
 * The lots that a code on a label may mean. A code is unique in one season of one crop only, so the
 * trade item number decides where cultivars have one: a cultivar with another number is not meant.
 */
export function lotsByCode(lots: readonly Lot[], cultivars: readonly Cultivar[], gtin: string, code: string): Lot[] {
  const named = lots.filter((lot) => lot.code === code);
  const numberOf = (lot: Lot): string | null => {
    const cultivar = cultivars.find(({ id }) => id === lot.cultivar_id);
    return cultivar ? gtinOf(cultivar) : null;
  };
  const exact = named.filter((lot) => numberOf(lot) === gtin);
  return exact.length > 0 ? exact : named.filter((lot) => numberOf(lot) === null);
}
