import { client, fetchAll, read } from '../../api';
import type { Contact, ContactLevel, ContactList, Hold, LabSample, Trail, TrailLot } from '../../contract.gen';
import { serverNow } from '../../session';
import { fetchNames, houseOf, type Names } from '../names';
import type { Asked } from '../state';
import { standingNow } from '../where';

/** All that the answer for a plant health authority is made of. */
export interface Reach {
  trail: Trail;
  /** Back from the same start: the shipments that lots made here came with. */
  origins: Trail;
  names: Names;
  contacts: ContactList;
  holds: Hold[];
  samples: LabSample[];
  /** When it was read. */
  at: Date;
}

/** Whether a hold lies on plants of the trail, as they stand now. */
export function holdReaches(hold: Pick<Hold, 'scope' | 'scope_id' | 'withdrawn_because'>, trail: Pick<Trail, 'lots' | 'placements'>, names: Pick<Names, 'blocks' | 'cultivars'>): boolean {
  if (hold.withdrawn_because) return false;
  const { scope_id: id } = hold;
  switch (hold.scope) {
    case 'lot':
      return trail.lots.some((lot) => lot.lot_id === id);
    case 'shipment':
      return trail.lots.some((lot) => lot.shipment_id === id);
    case 'crop':
      return trail.lots.some((lot) => names.cultivars.get(lot.cultivar_id)?.crop_id === id);
    case 'house':
      return standingNow(trail.placements).some(({ blockId }) => houseOf(names, blockId) === id);
    case 'site':
      return trail.lots.some((lot) => lot.site_id === id && lot.on_hand > 0);
  }
}

const nearestFirst: readonly ContactLevel[] = ['block', 'water', 'tools', 'section', 'house'];

/** Contacts by how near they stood, nearest first; within a level the longest together. */
export function byLevel(items: readonly Contact[]): { level: ContactLevel; contacts: Contact[] }[] {
  return nearestFirst
    .map((level) => ({ level, contacts: items.filter((contact) => contact.level === level).toSorted((a, b) => b.days - a.days || a.code.localeCompare(b.code)) }))
    .filter(({ contacts }) => contacts.length > 0);
}

/** Why a lot cannot be ruled out. */
export type Why = 'several' | 'unknown' | 'descends' | 'descendsSeveral';

export interface Doubtful {
  lot: TrailLot;
  why: Why;
}

/** The lots that cannot be ruled out, each with its reason: first those that name several farms. */
export function doubtful({ lots, cannot_rule_out: open }: Pick<Trail, 'lots' | 'cannot_rule_out'>): Doubtful[] {
  const arrived = (lot: TrailLot): boolean => typeof lot.shipment_id === 'string';
  return [
    ...lots.filter(({ certain }) => !certain).map((lot): Doubtful => ({ lot, why: arrived(lot) ? 'several' : 'descendsSeveral' })),
    ...open.map((lot): Doubtful => ({ lot, why: arrived(lot) ? 'unknown' : 'descends' })),
  ];
}

/** Reads everything for the answer at once. */
export async function fetchReach({ from, id }: Pick<Asked, 'from' | 'id'>, signal: AbortSignal): Promise<Reach> {
  const query = { from, id };
  const [trail, origins, contacts, names, holds, samples] = await Promise.all([
    read(client.GET('/trail', { params: { query: { ...query, way: 'forward' } }, signal })),
    read(client.GET('/trail', { params: { query: { ...query, way: 'back' } }, signal })),
    read(client.GET('/contacts', { params: { query }, signal })),
    fetchNames(signal),
    fetchAll('holds', { state: 'in_force' }, signal),
    fetchAll('lab-samples', {}, signal),
  ]);
  const lots = new Set([...trail.lots, ...trail.cannot_rule_out].map((lot) => lot.lot_id));
  return {
    trail,
    origins,
    names,
    contacts,
    holds: holds.filter((hold) => holdReaches(hold, trail, names)),
    samples: samples.filter((sample) => lots.has(sample.lot_id) && !sample.withdrawn_because).toSorted((a, b) => a.taken_at.localeCompare(b.taken_at)),
    at: serverNow(),
  };
}
