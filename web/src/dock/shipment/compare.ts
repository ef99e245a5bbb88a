import type { Lot, Movement, Shipment } from '../../contract.gen';

/** A lot beside what was ordered of it; or an order line nothing came of. */
export interface Compared {
  key: string;
  cultivarId: string;
  lot: Lot | null;
  /** Ordered of the cultivar in this form; shown with its first lot. Null when nothing was ordered. */
  ordered: number | null;
  onPapers: number | null;
  /** Counted at the dock; null while nobody counted. */
  counted: number | null;
  /** Counted (or, while not counted, on the papers) less ordered, over all lots of the line. Null when nothing was ordered. */
  difference: number | null;
  substituteForId: string | null;
}

/** Plants counted at the dock, by lot. Withdrawn counts do not count. */
export function countsOf(movements: readonly Movement[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const { lot_id, kind, plants, withdrawn_because } of movements) {
    if (kind === 'receive' && !withdrawn_because) counts.set(lot_id, (counts.get(lot_id) ?? 0) + plants);
  }
  return counts;
}

/** Lots in the order of their codes, each beside its order line, then the lines without a lot. */
export function compareLots(shipment: Pick<Shipment, 'order_lines'>, lots: readonly Lot[], counts: ReadonlyMap<string, number>): Compared[] {
  const kind = (cultivar: string, form: string | undefined): string => `${cultivar} ${form ?? 'unrooted'}`;
  const ordered = new Map<string, { plants: number; substituteForId: string | null; cultivarId: string }>();
  for (const line of shipment.order_lines ?? []) {
    const key = kind(line.cultivar_id, line.form);
    const before = ordered.get(key);
    ordered.set(key, {
      plants: (before?.plants ?? 0) + line.ordered,
      substituteForId: line.substitute_for_id ?? before?.substituteForId ?? null,
      cultivarId: line.cultivar_id,
    });
  }
  const came = new Map<string, number>();
  const standing = lots.filter((lot) => !lot.withdrawn_because).toSorted((a, b) => (a.code ?? '').localeCompare(b.code ?? ''));
  for (const lot of standing) {
    const key = kind(lot.cultivar_id, lot.form);
    came.set(key, (came.get(key) ?? 0) + (counts.get(lot.id) ?? lot.plants));
  }
  // A line that stands for another, with nothing ordered of its own, is measured by what was ordered of that one.
  for (const [key, line] of ordered) {
    if (line.plants > 0 || line.substituteForId === null) continue;
    const [replacedKey, replaced] = [...ordered].find(([other, { cultivarId }]) => cultivarId === line.substituteForId && !came.has(other)) ?? [];
    if (replacedKey === undefined || !replaced) continue;
    ordered.set(key, { ...line, plants: replaced.plants });
    ordered.delete(replacedKey);
  }
  const named = new Set<string>();
  const rows = standing.map((lot): Compared => {
    const key = kind(lot.cultivar_id, lot.form);
    const line = ordered.get(key);
    const first = !named.has(key);
    named.add(key);
    return {
      key: lot.id,
      cultivarId: lot.cultivar_id,
      lot,
      ordered: line && first ? line.plants : null,
      onPapers: lot.plants,
      counted: counts.get(lot.id) ?? null,
      difference: line && first ? (came.get(key) ?? 0) - line.plants : null,
      substituteForId: line?.substituteForId ?? null,
    };
  });
  for (const [key, line] of ordered) {
    if (named.has(key) || line.plants === 0) continue;
    rows.push({
      key,
      cultivarId: line.cultivarId,
      lot: null,
      ordered: line.plants,
      onPapers: null,
      counted: null,
      difference: -line.plants,
      substituteForId: line.substituteForId,
    });
  }
  return rows;
}
