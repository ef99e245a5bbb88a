import { fetchAll } from '../api';
import type { Block, Cultivar, Customer, Farm, House, Organism, Section, Supplier } from '../contract.gen';
import { sites } from '../session';
import { words } from '../words';

type ById<T> = ReadonlyMap<string, T>;

/** What trails refer to, by id. */
export interface Names {
  suppliers: ById<Supplier>;
  farms: ById<Farm>;
  customers: ById<Customer>;
  cultivars: ById<Cultivar>;
  houses: ById<House>;
  sections: ById<Section>;
  blocks: ById<Block>;
  organisms: ById<Organism>;
}

function byId<T extends { id: string }>(list: readonly T[]): ById<T> {
  return new Map(list.map((item) => [item.id, item]));
}

/** Reads all names that a trail may need. */
export async function fetchNames(signal: AbortSignal): Promise<Names> {
  const [suppliers, farms, customers, cultivars, houses, sections, blocks, organisms] = await Promise.all([
    fetchAll('suppliers', {}, signal),
    fetchAll('farms', {}, signal),
    fetchAll('customers', {}, signal),
    fetchAll('cultivars', {}, signal),
    fetchAll('houses', {}, signal),
    fetchAll('sections', {}, signal),
    fetchAll('blocks', {}, signal),
    fetchAll('organisms', {}, signal),
  ]);
  return {
    suppliers: byId(suppliers),
    farms: byId(farms),
    customers: byId(customers),
    cultivars: byId(cultivars),
    houses: byId(houses),
    sections: byId(sections),
    blocks: byId(blocks),
    organisms: byId(organisms),
  };
}

/** The name of an id; "not known" when it is none of these. */
export function nameIn(list: ById<{ name: string }>, id: string | null | undefined): string {
  return list.get(id ?? '')?.name ?? words.value.common.unknown;
}

/** The house of a block; '' when the block is not known. */
export function houseOf({ blocks }: Pick<Names, 'blocks'>, blockId: string): string {
  return blocks.get(blockId)?.house_id ?? '';
}

/** The name of a house; with its site where houses of several sites are called the same. */
export function houseName({ houses }: Pick<Names, 'houses'>, id: string | null | undefined): string {
  const house = houses.get(id ?? '');
  const namesakes = [...houses.values()].filter(({ name }) => name === house?.name).length;
  const site = namesakes > 1 ? sites.value.find((one) => one.id === house?.site_id)?.name : undefined;
  return site === undefined ? nameIn(houses, id) : `${site} ${nameIn(houses, id)}`;
}

/** "House 2 · B4" */
export function blockName(names: Names, id: string): string {
  return `${houseName(names, houseOf(names, id))} · ${nameIn(names.blocks, id)}`;
}

/** The IANA zone of a site; UTC when the site is not one of this person's. */
export function zoneOf(siteId: string | undefined): string {
  return sites.value.find((site) => site.id === siteId)?.time_zone ?? 'UTC';
}
