import type { TrailExit } from '../../contract.gen';

/** Discards of a lot: one by one where a record names them, else summed. */
export interface Discard {
  key: string;
  lotId: string;
  plants: number;
  /** The first and the last of them. */
  first: string;
  last: string;
  reasons: string[];
  /** '' where none is named. */
  record: string;
  whileHeld: boolean;
}

/** The discards of a trail: what a record names and what was done against a hold first, each by itself; the rest summed by lot. */
export function discards(exits: readonly TrailExit[]): Discard[] {
  const found = new Map<string, Discard>();
  for (const { kind, movement_id: id, lot_id: lotId, at, plants, reason, paper_number: paper, while_held: held } of exits) {
    if (kind !== 'discard') continue;
    const record = paper ?? '';
    const key = record !== '' || held ? id : lotId;
    const before = found.get(key);
    const reasons = new Set(before?.reasons);
    if (reason) reasons.add(reason);
    found.set(key, {
      ...{ key, lotId, record, whileHeld: held === true, reasons: [...reasons], plants: plants + (before?.plants ?? 0) },
      ...{ first: before && before.first < at ? before.first : at, last: before && before.last > at ? before.last : at },
    });
  }
  const rank = ({ record, whileHeld }: Discard): number => (record !== '' || whileHeld ? 0 : 1);
  return [...found.values()].toSorted((a, b) => rank(a) - rank(b));
}
