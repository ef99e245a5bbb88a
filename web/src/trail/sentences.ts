import type { Trail } from '../contract.gen';
import { mark } from '../trends/mark';
import type { Speech } from '../trends/answers';
import { addsUp, isMixed } from './balance';
import { endsOf } from './flow/graph';
import { blockName, nameIn, type Names } from './names';
import { placesNow } from './where';

/** As many houses or shipments are named in a sentence; the rest is counted. */
const mostNamed = 4;

function named(names: readonly string[], { words, format }: Speech): string {
  if (names.length <= mostNamed) return format.list(names);
  return format.list([...names.slice(0, mostNamed - 1), words.trail.more(names.length - mostNamed + 1)]);
}

interface Sums {
  placed: number;
  unplaced: number;
  dispatched: number;
  discarded: number;
  lost: number;
  gained: number;
}

/** The plants of each lot that belong to the trail, summed: those of a mixed lot by its part. */
function sumsOf({ lots, balance }: Trail): Sums {
  const sum = (of: (lot: Trail['lots'][number]) => number): number => lots.reduce((total, lot) => total + (of(lot) * (lot.percent ?? 100)) / 100, 0);
  const unplaced = sum(({ tally }) => tally.unplaced);
  return {
    unplaced,
    placed: balance ? balance.on_hand - unplaced : sum(({ tally }) => tally.placed),
    dispatched: balance?.dispatched ?? sum(({ tally }) => tally.dispatched),
    discarded: balance?.discarded ?? sum(({ tally }) => tally.discarded),
    lost: balance?.lost ?? sum(({ tally }) => tally.lost),
    gained: balance?.gained ?? sum(({ tally }) => tally.gained),
  };
}

/** Rounded away, a fraction of a plant is no plant. */
const hardly = 0.05;

/** "2,900 stand in 5 blocks of House 2 and House 4, 1,000 went to 2 customers and 300 were discarded." */
function whereSentence(trail: Trail, names: Names, speech: Speech): string {
  const say = speech.words.trail;
  const sums = sumsOf(trail);
  const { blocks, houses } = placesNow(trail, names);
  const customers = new Set(trail.exits.filter(({ kind }) => kind === 'dispatch').map((exit) => exit.customer_id ?? ''));
  customers.delete('');
  const part = (n: number, write: (n: string, one: boolean) => string): string => (n < hardly ? '' : write(speech.format.number(n), n === 1));
  const parts = [
    part(sums.placed, (n, one) => say.stand(n, one, blocks.length, houses.length > mostNamed ? say.manyHouses(houses.length) : speech.format.list(houses))),
    part(sums.unplaced, say.unplaced),
    part(sums.dispatched, (n, one) => (customers.size > 0 ? say.went(n, one, customers.size) : say.wentUnknown(n, one))),
    part(sums.discarded, say.discarded),
    part(sums.lost, say.missing),
    part(sums.gained, say.found),
  ].filter((text) => text !== '');
  return parts.length === 0 ? '' : `${speech.format.list(parts)}.`;
}

/** Whether and how the balance adds up; '' where there is none. */
export function balanceSentence({ balance, lots, from, way }: Trail, { words, format }: Speech): string {
  const say = words.trail;
  if (!balance) return way === 'forward' && from === 'block' ? say.addsNothing : '';
  if (!addsUp(balance)) return say.addsNot;
  const mixed = lots.filter(isMixed).length;
  if (mixed > 0) return say.addsUpParts(mixed);
  const sum = (['on_hand', 'dispatched', 'discarded', 'lost'] as const)
    .filter((term) => balance[term] > 0 || term === 'on_hand')
    .map((term) => `${format.number(balance[term])} ${say.term[term]}`)
    .join(' + ');
  const gained = balance.gained > 0 ? ` − ${format.number(balance.gained)} ${say.term.gained}` : '';
  return say.addsUp(`${format.number(balance.received)} ${say.term.received}`, sum + gained);
}

/** The lots that came from elsewhere or that are asked for; the others were made of them here. */
function firstLots({ lots, links }: Trail): Trail['lots'] {
  const born = new Set(links.map((link) => link.to_lot_id));
  return lots.filter((lot) => !born.has(lot.lot_id));
}

function forwardAnswer(trail: Trail, name: string, names: Names, speech: Speech): string {
  const { format } = speech;
  const say = speech.words.trail;
  const first = firstLots(trail);
  const made = trail.lots.length - first.length;
  const received = trail.balance?.received ?? 0;
  const began =
    trail.from === 'block' ? say.stood(name, trail.lots.length) : say.came[trail.from](name, first.length, say.plants(format.number(received), received === 1));
  const uncertain = trail.lots.filter(({ certain }) => !certain).length;
  const held = trail.lots.filter((lot) => lot.held).length;
  return [
    began,
    made > 0 && trail.from !== 'block' ? say.made(made) : '',
    whereSentence(trail, names, speech),
    held > 0 ? say.held(held) : '',
    uncertain > 0 ? say.uncertain(uncertain) : '',
    trail.cannot_rule_out.length > 0 ? say.cannotRuleOut(trail.cannot_rule_out.length) : '',
  ]
    .filter((text) => text !== '')
    .join(' ');
}

function backAnswer(trail: Trail, name: string, names: Names, speech: Speech): string {
  const { words, format } = speech;
  const say = words.trail;
  const { from } = trail;
  const dispatches = trail.exits.filter(({ kind }) => kind === 'dispatch');
  const plants = words.common.plants(dispatches.reduce((sum, exit) => sum + exit.plants, 0));
  const began = from === 'customer' || from === 'dispatch' ? say.got[from](name, plants, dispatches.length, endsOf(trail).size) : '';
  const behind = from === 'lot' ? say.behind.lot(name, trail.lots.length - 1) : from === 'block' ? say.behind.block(name, trail.lots.length) : say.behind.other(trail.lots.length);
  const shipments = trail.shipments.map((one) => say.shipmentOf(nameIn(names.suppliers, one.supplier_id), format.date(one.arrived_on)));
  const arrivals = trail.lots.filter((lot) => typeof lot.shipment_id === 'string');
  const farms = [...new Set(arrivals.flatMap((lot) => lot.farm_ids ?? []))].map((id) => mark(nameIn(names.farms, id)));
  const unknown = arrivals.filter((lot) => (lot.farm_ids ?? []).length === 0).length;
  return [
    began === '' ? behind : began,
    shipments.length > 0 ? say.cameWith(shipments.length, named(shipments, speech)) : '',
    farms.length > 0 ? say.fromFarms(named(farms, speech)) : '',
    unknown > 0 ? say.farmUnknown(unknown) : '',
  ]
    .filter((text) => text !== '')
    .join(' ');
}

/** The trail in a few sentences, figures marked; `name` is what is followed. */
export function trailAnswer(trail: Trail, name: string, names: Names, speech: Speech): string {
  return trail.way === 'back' ? backAnswer(trail, name, names, speech) : forwardAnswer(trail, name, names, speech);
}

/** What is followed, by its name. */
export function startName({ from, id, lots, shipments, exits, placements }: Trail, names: Names, { words, format }: Speech): string {
  const { trail: say, common } = words;
  switch (from) {
    case 'supplier':
      return nameIn(names.suppliers, id);
    case 'farm':
      return nameIn(names.farms, id);
    case 'customer':
      return nameIn(names.customers, id);
    case 'lot':
      return lots.find((lot) => lot.lot_id === id)?.code ?? common.unknown;
    case 'block':
      return placements.length === 0 && !names.blocks.has(id) ? common.unknown : blockName(names, id);
    case 'shipment': {
      const shipment = shipments.find((one) => one.shipment_id === id);
      return shipment ? say.shipmentOf(nameIn(names.suppliers, shipment.supplier_id), format.date(shipment.arrived_on)) : common.unknown;
    }
    case 'dispatch': {
      const exit = exits.find((one) => one.movement_id === id);
      return exit ? (exit.paper_number ?? say.dispatchOf(format.date(exit.at.slice(0, 10)))) : common.unknown;
    }
  }
}
