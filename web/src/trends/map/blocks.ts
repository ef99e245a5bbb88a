import type { HouseMap, MapBlock, MapBlockWeek, MapHotSpot } from '../../contract.gen';
import { weekOf, weeksBetween } from '../../local/zone';

/** How a block stands in a week: nothing stood there, nobody looked, none was found, some were. */
export type BlockState = 'empty' | 'not_looked_at' | 'none_found' | 'found';

/** A block in one week. */
export interface BlockThen {
  block: MapBlock;
  week: MapBlockWeek | undefined;
  state: BlockState;
  /** Whether all of its interval lies over the limit. */
  over: boolean;
  /** The blocks beside it that are over their limit, where it holds plants and is not itself. */
  beside: MapBlock[];
  spots: MapHotSpot[];
}

/** The weeks of the map without gaps: from the first in which something stood there to today. */
export function weeksOf({ blocks, points, as_of: today }: HouseMap): string[] {
  const seen = [...blocks.flatMap(({ weeks }) => weeks.map(({ week }) => week)), ...points.map(({ week }) => week)].toSorted();
  const first = seen[0];
  const last = seen.at(-1);
  if (first === undefined || last === undefined) return [];
  const now = today === undefined ? last : weekOf(today);
  return weeksBetween(first, now > last ? now : last);
}

/** The week to begin with: the latest with a look, else the last. */
export function latestWeek(map: HouseMap): string | undefined {
  return map.points.at(-1)?.week ?? weeksOf(map).at(-1);
}

function stateOf(week: MapBlockWeek | undefined): BlockState {
  if (week?.share) return week.share.infested_plants > 0 ? 'found' : 'none_found';
  return (week?.standing_plants ?? 0) > 0 ? 'not_looked_at' : 'empty';
}

/** All blocks as they were in a week, in walking order. */
export function blocksIn({ blocks }: HouseMap, week: string): BlockThen[] {
  const then = blocks.map((block) => ({ block, week: block.weeks.find((one) => one.week === week) }));
  const over = new Map(then.filter((one) => one.week?.code === 'above').map(({ block }) => [block.block_id, block]));
  return then.map(({ block, week: at }) => {
    const state = stateOf(at);
    const apart = over.has(block.block_id) || state === 'empty';
    return {
      block,
      week: at,
      state,
      over: over.has(block.block_id),
      beside: apart ? [] : block.beside.flatMap((id) => over.get(id) ?? []),
      spots: block.hot_spots.filter((spot) => spot.week === week),
    };
  });
}

/** Blocks of one section. */
export interface SectionThen {
  name: string;
  blocks: BlockThen[];
}

/** The sections of a house in the order in which one comes to them; blocks of none have an empty name. */
export function sectionsOf(blocks: readonly BlockThen[]): SectionThen[] {
  const sections = new Map<string, BlockThen[]>();
  for (const one of blocks) {
    const { section } = one.block;
    sections.set(section, [...(sections.get(section) ?? []), one]);
  }
  return [...sections].map(([name, of]) => ({ name, blocks: of }));
}
