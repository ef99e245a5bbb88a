import type { Placement, Trail } from '../contract.gen';
import { houseName, houseOf, type Names } from './names';

/** Plants of a lot in a block now, summed over the times they came. */
export interface Standing {
  lotId: string;
  blockId: string;
  plants: number;
  /** When the first of them came. */
  since: string;
}

/** Where the plants stand now, largest first within each lot. */
export function standingNow(placements: readonly Placement[]): Standing[] {
  const found = new Map<string, Standing>();
  for (const { lot_id: lotId, block_id: blockId, plants, from, to } of placements) {
    if (to) continue;
    const key = `${lotId} ${blockId}`;
    const before = found.get(key);
    found.set(key, before ? { ...before, plants: before.plants + plants, since: before.since < from ? before.since : from } : { lotId, blockId, plants, since: from });
  }
  return [...found.values()].toSorted((a, b) => b.plants - a.plants);
}

/** The blocks and houses where plants of the trail stand now. */
export function placesNow(trail: Pick<Trail, 'placements'>, names: Names): { blocks: string[]; houses: string[] } {
  const blocks = [...new Set(standingNow(trail.placements).map(({ blockId }) => blockId))];
  const houses = [...new Set(blocks.map((id) => houseOf(names, id)))]
    .map((id) => houseName(names, id))
    .toSorted((a, b) => a.localeCompare(b, undefined, { numeric: true }));
  return { blocks, houses };
}
