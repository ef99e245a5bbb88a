import type { Lot, MovementBody, MovementKind, Placement } from '../../contract.gen';
import { uuid7 } from '../../local/uuid7';

/** Where plants can be taken from: a block, or the plants that stand in none. */
export const unplaced = 'unplaced';

/** A movement as it is being typed. */
export interface MovementDraft {
  id: string;
  kind: MovementKind;
  plants: number | null;
  /** A block, `unplaced`, or null while nothing is chosen. */
  from: string | null;
  to: string | null;
  movedAt: string | null;
  reason: string;
  note: string;
}

/** How many plants of the lot stand where now. */
export interface Standing {
  blocks: { blockId: string; plants: number; since: string }[];
  unplaced: number;
}

/** Adds up the open placements; what is on hand and in no block is not yet placed. */
export function standingOf(lot: Pick<Lot, 'plants_on_hand'>, placements: readonly Placement[]): Standing {
  const blocks = placements.filter(({ to }) => !to).map(({ block_id, plants, from }) => ({ blockId: block_id, plants, since: from }));
  return { blocks, unplaced: lot.plants_on_hand - blocks.reduce((sum, { plants }) => sum + plants, 0) };
}

const takesFrom: Record<MovementKind, boolean> = {
  receive: false,
  stick: false,
  root: true,
  pot: true,
  pinch: true,
  space: true,
  move: true,
  split: true,
  merge: true,
  discard: true,
  dispatch: true,
  count: true,
};
const goesTo: Record<MovementKind, 'never' | 'maybe' | 'always'> = {
  receive: 'maybe',
  stick: 'always',
  root: 'never',
  pot: 'always',
  pinch: 'never',
  space: 'always',
  move: 'always',
  split: 'maybe',
  merge: 'maybe',
  discard: 'never',
  dispatch: 'never',
  count: 'never',
};

export function asksFrom(kind: MovementKind): boolean {
  return takesFrom[kind];
}

export function asksTo(kind: MovementKind): 'never' | 'maybe' | 'always' {
  return goesTo[kind];
}

/** A new movement with what is most likely already in place. */
export function newMovement(kind: MovementKind, lot: Pick<Lot, 'plants'>, standing: Standing): MovementDraft {
  const only = standing.blocks.length === 1 ? standing.blocks[0] : undefined;
  const fromUnplaced = kind !== 'move' && standing.unplaced > 0;
  const from = !takesFrom[kind] ? null : fromUnplaced ? unplaced : (only?.blockId ?? null);
  const draft: MovementDraft = { id: uuid7(), kind, plants: null, from, to: null, movedAt: null, reason: '', note: '' };
  if (kind === 'receive') return { ...draft, plants: lot.plants };
  if (kind === 'stick') return { ...draft, plants: standing.unplaced > 0 ? standing.unplaced : null };
  return kind === 'discard' ? draft : { ...draft, plants: thereAt(from, standing) };
}

/** How many plants are there to be taken; null while nothing is chosen. */
export function thereAt(from: string | null, standing: Standing): number | null {
  if (from === null) return null;
  if (from === unplaced) return standing.unplaced;
  return standing.blocks.find(({ blockId }) => blockId === from)?.plants ?? 0;
}

/** The pointers of what must be filled in and is not. */
export function missingInMovement({ kind, plants, from, to, reason }: MovementDraft): string[] {
  return [
    ...(plants === null ? ['/plants'] : []),
    ...(takesFrom[kind] && from === null ? ['/from_block_id'] : []),
    ...(goesTo[kind] === 'always' && to === null ? ['/to_block_id'] : []),
    ...(kind === 'discard' && reason.trim() === '' ? ['/reason'] : []),
  ];
}

/** What is sent. `at` is the moment, when none was typed. */
export function movementBodyOf(draft: MovementDraft, lotId: string, at: string): MovementBody {
  const { kind, plants, from, to, movedAt, reason, note } = draft;
  return {
    lot_id: lotId,
    kind,
    moved_at: movedAt ?? at,
    plants: plants ?? 0,
    ...(takesFrom[kind] && from !== null && from !== unplaced && { from_block_id: from }),
    ...(goesTo[kind] !== 'never' && to !== null && { to_block_id: to }),
    ...(kind === 'discard' && reason.trim() !== '' && { reason: reason.trim() }),
    ...(note.trim() !== '' && { note: note.trim() }),
  };
}
