import type { Block, Customer, Farm, House, Supplier, Trail, TrailLot } from '../../src/contract.gen';
import type { Names } from '../../src/trail/names';

const recorded = { version: 1, recorded_at: '2026-06-01T00:00:00Z', recorded_by: { id: 'p', name: 'Odrun' } };
const none = { unplaced: 0, placed: 0, discarded: 0, dispatched: 0, split_off: 0, merged_away: 0, gained: 0, lost: 0 };

/** A lot that arrived with the shipment `s1` and stands where its tally says. */
export function lot(id: string, received: number, tally: Partial<TrailLot['tally']> = {}, more: Partial<TrailLot> = {}): TrailLot {
  const whole = { ...none, received, ...tally };
  return {
    ...{ lot_id: id, code: id.toUpperCase(), cultivar_id: 'c1', site_id: 'site', shipment_id: 's1', state: 'stuck', tally: whole },
    ...{ on_hand: whole.placed + whole.unplaced, percent: 100, certain: true },
    ...more,
  };
}

/** A trail of a farm with nothing on it. */
export function trail(more: Partial<Trail> = {}): Trail {
  return {
    ...{ from: 'farm', id: 'f1', way: 'forward', lots: [], links: [], placements: [], exits: [], cannot_rule_out: [] },
    shipments: [{ shipment_id: 's1', supplier_id: 'u1', site_id: 'site', arrived_on: '2026-08-03', papers: [{ kind: 'order', number: 'PO-1' }] }],
    ...more,
  };
}

/** Plants of a lot that stand in a block. */
export function stands(lotId: string, blockId: string, plants: number): Trail['placements'][number] {
  return { lot_id: lotId, block_id: blockId, from: '2026-08-04T08:00:00Z', plants };
}

/** Plants of a lot that went to a customer. */
export function went(lotId: string, customer: string, plants: number): Trail['exits'][number] {
  return { movement_id: `${lotId} ${customer}`, kind: 'dispatch', lot_id: lotId, at: '2026-09-01T08:00:00Z', plants, customer_id: customer, paper_number: 'DN-7' };
}

/** A balance in whole plants. */
export function balance(received: number, on_hand: number, dispatched: number, discarded: number, lost = 0, gained = 0): NonNullable<Trail['balance']> {
  const numbers = { received, on_hand, dispatched, discarded, lost, gained };
  const exact = { received: `${received}`, on_hand: `${on_hand}`, dispatched: `${dispatched}`, discarded: `${discarded}`, lost: `${lost}`, gained: `${gained}` };
  return { ...numbers, exact };
}

function byId<T extends { id: string }>(...list: T[]): Map<string, T> {
  return new Map(list.map((one) => [one.id, one]));
}

const house = (id: string, name: string): House => ({ ...recorded, id, name, site_id: 'site' });
const block = (id: string, house_id: string): Block => ({ ...recorded, id, name: id.toUpperCase(), house_id, position: 1, site_id: 'site' });
const supplier: Supplier = { ...recorded, id: 'u1', name: 'Varnholt' };
const farm: Farm = { ...recorded, id: 'f1', name: 'Tolmera', supplier_id: 'u1' };
const customer = (id: string, name: string): Customer => ({ ...recorded, id, name });

export const names: Names = {
  suppliers: byId(supplier),
  farms: byId(farm),
  customers: byId(customer('k1', 'Bexley'), customer('k2', 'Rosmund')),
  cultivars: byId(),
  houses: byId(house('h2', 'House 2'), house('h4', 'House 4')),
  sections: byId(),
  blocks: byId(...['a', 'b', 'c'].map((id) => block(id, 'h2')), block('d', 'h4'), block('e', 'h4')),
  organisms: byId(),
};
