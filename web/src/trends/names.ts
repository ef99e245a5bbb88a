import { fetchAll } from '../api';
import type { Block, Crop, Cultivar, House, Lot, Organism, Season } from '../contract.gen';
import { sites } from '../session';

/** What the filters of the page offer. */
export interface Names {
  houses: House[];
  cultivars: Cultivar[];
  organisms: Organism[];
  seasons: Season[];
  crops: Crop[];
}

/** Reads what the filters offer. */
export async function fetchNames(signal: AbortSignal): Promise<Names> {
  const [houses, cultivars, organisms, seasons, crops] = await Promise.all([
    fetchAll('houses', {}, signal),
    fetchAll('cultivars', {}, signal),
    fetchAll('organisms', {}, signal),
    fetchAll('seasons', {}, signal),
    fetchAll('crops', {}, signal),
  ]);
  return { houses, cultivars, organisms, seasons, crops };
}

/** What looks refer to, by id. */
export interface Places {
  blocks: ReadonlyMap<string, Block>;
  lots: ReadonlyMap<string, Lot>;
}

/** Reads the blocks and lots of a site, or of all when null. */
export async function fetchPlaces(siteId: string | null, signal: AbortSignal): Promise<Places> {
  const query = siteId === null ? {} : { site_id: siteId };
  const [blocks, lots] = await Promise.all([fetchAll('blocks', query, signal), fetchAll('lots', query, signal)]);
  return { blocks: new Map(blocks.map((block) => [block.id, block])), lots: new Map(lots.map((lot) => [lot.id, lot])) };
}

/** The IANA zone of a site; UTC when the site is not one of this person's. */
export function zoneOf(siteId: string): string {
  return sites.value.find((site) => site.id === siteId)?.time_zone ?? 'UTC';
}
