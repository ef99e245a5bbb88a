import type { Daybook, Lot, LotHold, LotLife, Movement, Placement, Verdict } from '../../../contract.gen';

/** Open placements after a movement that waits on this phone. */
function moved(placements: readonly Placement[], move: Movement): Placement[] {
  if (move.withdrawn_because) return [...placements];
  const changes: { lotId: string; blockId: string; plants: number }[] = [];
  const add = (lotId: string, blockId: string | null | undefined, plants: number): void => {
    if (blockId) changes.push({ lotId, blockId, plants });
  };
  const leaves = move.kind !== 'count' && move.kind !== 'root' && move.kind !== 'pinch';
  if (leaves) {
    add(move.lot_id, move.from_block_id, -move.plants);
    add(move.lot_id, move.to_block_id, move.plants);
  }
  for (const part of move.parts ?? []) {
    add(move.kind === 'split' ? move.lot_id : part.lot_id, part.from_block_id, -part.plants);
    add(move.kind === 'split' ? part.lot_id : move.lot_id, part.to_block_id, part.plants);
  }
  return changes.reduce<Placement[]>((all, { lotId, blockId, plants }) => {
    const there = all.find((one) => one.lot_id === lotId && one.block_id === blockId && !one.to);
    const now = (there?.plants ?? 0) + plants;
    const others = all.filter((one) => one !== there);
    return now > 0 ? [...others, { lot_id: lotId, block_id: blockId, from: there?.from ?? move.moved_at, plants: now }] : others;
  }, [...placements]);
}

/** Where lots stand, with the movements that wait on this phone. */
export function placementsAfter(placements: readonly Placement[], moves: readonly Movement[]): Placement[] {
  return moves.reduce(moved, [...placements]);
}

/** The holds of a daybook that reach a lot by what can be seen on the lot itself, and the verdict that holds it. */
function holdsOf(book: Daybook, lot: Lot, verdicts: readonly Verdict[]): LotHold[] {
  const reached = [lot.id, lot.shipment_id, lot.crop_id];
  const holds = book.holds
    .filter(({ scope_id, withdrawn_because }) => reached.includes(scope_id) && !withdrawn_because)
    .map(({ id, scope, scope_id, kind, from_at, reason }): LotHold => ({ id, by: 'hold', scope, scope_id, kind, from_at, reason }));
  const last = verdicts.findLast((one) => one.lot_id === lot.id && !one.withdrawn_because && typeof one.plants !== 'number');
  const held = last && (last.decision === 'hold' || last.decision === 'reject');
  return held ? [...holds, { id: last.id, by: 'verdict', kind: 'internal', from_at: last.recorded_at, reason: last.because ?? null }] : holds;
}

/** What a phone knows of the life of a lot with no network: where it stands, how many there are, and what holds it. */
export function keptLife(book: Daybook, lot: Lot, verdicts: readonly Verdict[]): LotLife {
  const placements = book.placements.filter(({ lot_id }) => lot_id === lot.id);
  const placed = placements.reduce((sum, { plants }) => sum + plants, 0);
  return {
    lot_id: lot.id,
    state: lot.state ?? 'expected',
    tally: {
      received: Math.max(lot.plants, lot.plants_on_hand),
      unplaced: Math.max(0, lot.plants_on_hand - placed),
      placed,
      discarded: 0,
      dispatched: 0,
      split_off: 0,
      merged_away: 0,
      gained: 0,
      lost: 0,
    },
    strike: { count: 0, of: 0 },
    composition: [],
    ancestors: [],
    children: [],
    placements,
    recounts: [],
    holds: holdsOf(book, lot, verdicts),
  };
}
