import type { Lot, MovementBody } from '../../contract.gen';

type Moved = Pick<MovementBody, 'lot_id' | 'kind' | 'plants' | 'parts' | 'withdrawn_because'> | undefined;

/** Plants of a lot that a movement takes away from those on hand, by the number that was said. */
function gone(move: Moved, lotId: string): number {
  if (!move || move.withdrawn_because) return 0;
  const ofParts = (move.parts ?? []).filter(({ lot_id }) => lot_id === lotId).reduce((sum, { plants }) => sum + plants, 0);
  switch (move.kind) {
    case 'discard':
    case 'dispatch':
      return move.lot_id === lotId ? move.plants : 0;
    case 'split':
      return move.lot_id === lotId ? (move.parts ?? []).reduce((sum, { plants }) => sum + plants, 0) : 0;
    case 'merge':
      return ofParts;
    default:
      return 0;
  }
}

const states: Partial<Record<MovementBody['kind'], Lot['state']>> = { receive: 'received', stick: 'stuck', root: 'rooted', pot: 'potted' };

/**
 * Lots after a movement that waits on this phone (`before` is what the server has of it). Only
 * what is simple: a count is settled by the server, which knows all movements.
 */
export function withPlantsMoved(lots: readonly Lot[], before: Moved, now: NonNullable<Moved>): Lot[] {
  return lots.map((lot) => {
    const less = gone(now, lot.id) - gone(before, lot.id);
    const counts = now.lot_id === lot.id && !now.withdrawn_because;
    const received = counts && now.kind === 'receive' && lot.state === 'expected';
    const state = counts ? (states[now.kind] ?? lot.state) : lot.state;
    if (less === 0 && state === lot.state && !received) return lot;
    return { ...lot, ...(state && { state }), plants_on_hand: received ? now.plants : Math.max(0, lot.plants_on_hand - less) };
  });
}
