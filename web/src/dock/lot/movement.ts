import type { Lot, MovementBody, MovementKind, MovementPart, Placement } from '../../contract.gen';
import { uuid7 } from '../../local/uuid7';

/** Where plants can be taken from: a block, the plants that stand in none, or wherever they stand. */
export const unplaced = 'unplaced';
export const everywhere = 'everywhere';

/** A movement as it is being typed. */
export interface MovementDraft {
  id: string;
  kind: MovementKind;
  plants: number | null;
  /** A block, `unplaced`, `everywhere`, or null while nothing is chosen. */
  from: string | null;
  to: string | null;
  movedAt: string | null;
  reason: string;
  note: string;
  /** Of a root: those with roots. */
  rooted: number | null;
  customer: string | null;
  paper: string;
  /** Code of the lot that begins with a split or merge. */
  code: string;
  /** The lot that begins with a split or merge. */
  bornId: string;
  /** What a merge takes, lot by lot. */
  merged: readonly MergedLot[];
  althoughHeld: boolean;
}

/** A lot that a merge takes whole, with where it stands. */
export interface MergedLot {
  lotId: string;
  standing: Standing;
}

/** How many plants of the lot stand where now. */
export interface Standing {
  blocks: { blockId: string; plants: number; since: string }[];
  unplaced: number;
}

/** A time in which plants of a lot stood in a block without a gap, with their latest count. */
export interface Stay {
  blockId: string;
  since: string;
  until: string | null;
  plants: number;
}

/** Placements end with every count and discard; plants that stay stay. */
export function staysOf(placements: readonly Placement[]): Stay[] {
  const stays: Stay[] = [];
  for (const { block_id: blockId, from, to, plants } of placements.toSorted((a, b) => Date.parse(a.from) - Date.parse(b.from))) {
    const before = stays.find((stay) => stay.blockId === blockId && stay.until !== null && Date.parse(stay.until) === Date.parse(from));
    if (before) Object.assign(before, { until: to ?? null, plants });
    else stays.push({ blockId, since: from, until: to ?? null, plants });
  }
  return stays;
}

/** Adds up the open placements; what is on hand and in no block is not yet placed. */
export function standingOf(lot: Pick<Lot, 'plants_on_hand'>, placements: readonly Placement[]): Standing {
  const blocks = staysOf(placements)
    .filter(({ until }) => until === null)
    .map(({ blockId, plants, since }) => ({ blockId, plants, since }));
  return { blocks, unplaced: lot.plants_on_hand - blocks.reduce((sum, { plants }) => sum + plants, 0) };
}

type Asked = 'never' | 'maybe' | 'always';

const takesFrom: Record<MovementKind, 'nowhere' | 'blocks' | 'blocks and unplaced' | 'everywhere'> = {
  receive: 'nowhere',
  stick: 'nowhere',
  root: 'everywhere',
  pot: 'blocks and unplaced',
  pinch: 'everywhere',
  space: 'blocks',
  move: 'blocks',
  split: 'blocks and unplaced',
  merge: 'nowhere',
  discard: 'blocks and unplaced',
  dispatch: 'blocks and unplaced',
  count: 'blocks and unplaced',
};
const goesTo: Record<MovementKind, Asked> = {
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

export function asksTo(kind: MovementKind): Asked {
  return goesTo[kind];
}

/** The places plants of this kind of movement can come from, most plants first; none where it is not asked. */
export function sourcesOf(kind: MovementKind, standing: Standing): string[] {
  const takes = takesFrom[kind];
  if (takes === 'nowhere') return [];
  const blocks = standing.blocks.toSorted((a, b) => b.plants - a.plants).map(({ blockId }) => blockId);
  const places = [...(takes !== 'blocks' && standing.unplaced > 0 ? [unplaced] : []), ...blocks];
  return takes === 'everywhere' && places.length > 1 ? [everywhere, ...places] : places;
}

/** How many plants are there to be taken; null while nothing is chosen. */
export function thereAt(from: string | null, standing: Standing): number | null {
  if (from === null) return null;
  if (from === unplaced) return standing.unplaced;
  if (from === everywhere) return onHand(standing);
  return standing.blocks.find(({ blockId }) => blockId === from)?.plants ?? 0;
}

function onHand({ blocks, unplaced: rest }: Standing): number {
  return blocks.reduce((sum, { plants }) => sum + plants, rest);
}

/** The number that is most likely when plants are taken from a place; a discard is never guessed. */
export function usualPlants(kind: MovementKind, from: string | null, standing: Standing): number | null {
  const there = thereAt(from, standing);
  if (kind === 'discard' || there === null) return null;
  if (kind === 'split') return Math.max(1, Math.floor(there / 2));
  return there;
}

/** A new movement with what is most likely already in place. */
export function newMovement(kind: MovementKind, lot: Pick<Lot, 'id' | 'plants'>, standing: Standing): MovementDraft {
  const from = sourcesOf(kind, standing)[0] ?? null;
  const draft: MovementDraft = {
    id: uuid7(),
    kind,
    plants: usualPlants(kind, from, standing),
    from,
    to: kind === 'space' ? from : null,
    movedAt: null,
    reason: '',
    note: '',
    rooted: null,
    customer: null,
    paper: '',
    code: '',
    bornId: uuid7(),
    merged: kind === 'merge' ? [{ lotId: lot.id, standing }] : [],
    althoughHeld: false,
  };
  if (kind === 'receive') return { ...draft, plants: lot.plants };
  if (kind === 'stick') return { ...draft, plants: standing.unplaced > 0 ? standing.unplaced : null };
  return kind === 'merge' ? { ...draft, plants: onHand(standing) } : draft;
}

/** With another lot in the merge, or without it. */
export function toggleMerged(draft: MovementDraft, lot: MergedLot): MovementDraft {
  const without = draft.merged.filter(({ lotId }) => lotId !== lot.lotId);
  const merged = without.length < draft.merged.length ? without : [...draft.merged, lot];
  return { ...draft, merged, plants: merged.reduce((sum, { standing }) => sum + onHand(standing), 0) };
}

/** The pointers of what must be filled in and is not. */
export function missingInMovement({ kind, plants, from, to, reason, rooted, customer, merged }: MovementDraft): string[] {
  return [
    ...(plants === null ? ['/plants'] : []),
    ...(takesFrom[kind] !== 'nowhere' && from === null ? ['/from_block_id'] : []),
    ...(goesTo[kind] === 'always' && to === null ? ['/to_block_id'] : []),
    ...(kind === 'discard' && reason.trim() === '' ? ['/reason'] : []),
    ...(kind === 'root' && rooted === null ? ['/rooted'] : []),
    ...(kind === 'dispatch' && customer === null ? ['/customer_id'] : []),
    ...(kind === 'merge' && merged.length < 2 ? ['/parts'] : []),
  ];
}

function fromBlock(from: string | null): { from_block_id?: string } {
  return from === null || from === unplaced || from === everywhere ? {} : { from_block_id: from };
}

function partsOf({ kind, plants, from, to, code, bornId, merged }: MovementDraft): MovementPart[] {
  const goes = to === null ? {} : { to_block_id: to };
  if (kind === 'split') {
    return [{ lot_id: bornId, plants: plants ?? 0, ...fromBlock(from), ...goes, ...(code.trim() !== '' && { code: code.trim() }) }];
  }
  return merged.flatMap(({ lotId, standing }) => [
    ...standing.blocks.map(({ blockId, plants: here }) => ({ lot_id: lotId, plants: here, from_block_id: blockId, ...goes })),
    ...(standing.unplaced > 0 ? [{ lot_id: lotId, plants: standing.unplaced, ...goes }] : []),
  ]);
}

/** What is sent. `at` is the moment, when none was typed. */
export function movementBodyOf(draft: MovementDraft, lotId: string, at: string): MovementBody {
  const { kind, plants, from, to, movedAt, reason, note, rooted, customer, paper, code, bornId, althoughHeld } = draft;
  const inParts = kind === 'split' || kind === 'merge';
  return {
    lot_id: kind === 'merge' ? bornId : lotId,
    kind,
    moved_at: movedAt ?? at,
    plants: plants ?? 0,
    ...(inParts ? { parts: partsOf(draft) } : takesFrom[kind] !== 'nowhere' && fromBlock(from)),
    ...(!inParts && goesTo[kind] !== 'never' && to !== null && { to_block_id: to }),
    ...(kind === 'root' && rooted !== null && { rooted }),
    ...(kind === 'dispatch' && customer !== null && { customer_id: customer }),
    ...((kind === 'dispatch' || kind === 'discard') && paper.trim() !== '' && { paper_number: paper.trim() }),
    ...(kind === 'merge' && code.trim() !== '' && { code: code.trim() }),
    ...(kind === 'discard' && reason.trim() !== '' && { reason: reason.trim() }),
    ...(note.trim() !== '' && { note: note.trim() }),
    ...(althoughHeld && { although_held: true }),
  };
}
