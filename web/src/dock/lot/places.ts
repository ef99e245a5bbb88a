import { fetchAll } from '../../api';
import type { Block, Daybook, House } from '../../contract.gen';

/** The houses and blocks of a site. */
export interface Places {
  houses: readonly House[];
  blocks: readonly Block[];
}

export async function loadPlaces(siteId: string, signal: AbortSignal): Promise<Places> {
  const [houses, blocks] = await Promise.all([fetchAll('houses', { site_id: siteId }, signal), fetchAll('blocks', { site_id: siteId }, signal)]);
  return placesOf({ houses, blocks });
}

/** The same from a daybook. */
export function placesOf({ houses, blocks }: Pick<Daybook, 'houses' | 'blocks'>): Places {
  return {
    houses: houses.toSorted((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true })),
    blocks: blocks.toSorted((a, b) => a.position - b.position),
  };
}

/** "House 3, B 07" */
export function blockName({ houses, blocks }: Places, id: string): string {
  const block = blocks.find((each) => each.id === id);
  if (!block) return '–';
  const house = houses.find((each) => each.id === block.house_id);
  return house ? `${house.name}, ${block.name}` : block.name;
}
