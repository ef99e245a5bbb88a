import type { Customer, Lot, Shipment, TrailExit } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import type { Speech } from '../../trends/answers';
import { blockName, nameIn, zoneOf, type Names } from '../names';
import { starts, trailAddress } from '../state';

type Kind = (typeof starts)[number];

/** Something that can be followed. */
export interface Findable {
  kind: Kind;
  id: string;
  name: string;
  note: string;
  /** What it is found by besides name and note. */
  also: string;
  to: string;
}

/** A dispatch with its customer. */
export interface Delivery {
  exit: TrailExit;
  customer: Customer;
}

/** As many of a kind are shown. */
const mostShown = 8;

function folded(text: string): string {
  return text
    .normalize('NFD')
    .replaceAll(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll('\u00a0', ' ');
}

function byName(a: Findable, b: Findable): number {
  return a.name.localeCompare(b.name, undefined, { numeric: true });
}

/** Everything that can be followed, by kind. */
export function findables(
  { names, shipments, lots, deliveries }: { names: Names; shipments: readonly Shipment[]; lots: readonly Lot[]; deliveries: readonly Delivery[] },
  { words, format }: Speech,
): Findable[] {
  const { start: say, shipmentOf } = words.trail;
  const make = (kind: Kind, id: string, name: string, note = '', also = ''): Findable => ({ kind, id, name, note, also, to: trailAddress(kind, id) });
  const sites = new Map(lots.map((lot) => [lot.id, lot.site_id]));
  const day = (date: string): string => `${format.fullDate(date)} ${date}`;
  return [
    ...[...names.farms.values()].map((farm) => make('farm', farm.id, farm.name, say.farmOf(nameIn(names.suppliers, farm.supplier_id)))).toSorted(byName),
    ...[...names.suppliers.values()].map(({ id, name }) => make('supplier', id, name)).toSorted(byName),
    ...shipments
      .toSorted((a, b) => b.arrived_on.localeCompare(a.arrived_on))
      .map((one) => {
        const numbers = (one.papers ?? []).map(({ number }) => number);
        const note = numbers.length > 0 ? say.papers(format.list(numbers)) : say.noPapers;
        return make('shipment', one.id, shipmentOf(nameIn(names.suppliers, one.supplier_id), format.date(one.arrived_on)), note, day(one.arrived_on));
      }),
    ...lots
      .filter(({ state }) => state !== 'not_born') // its split or merge was withdrawn
      .map((lot) => {
        const cultivar = nameIn(names.cultivars, lot.cultivar_id);
        const note = typeof lot.shipment_id === 'string' ? say.lotOf(cultivar, format.date(lot.arrived_on)) : say.lotMade(cultivar);
        return make('lot', lot.id, lot.code ?? '', note, `${lot.supplier_lot_code ?? ''} ${day(lot.arrived_on)}`);
      })
      .toSorted(byName),
    ...[...names.blocks.values()].map(({ id }) => make('block', id, blockName(names, id))).toSorted(byName),
    ...[...names.customers.values()].map(({ id, name }) => make('customer', id, name)).toSorted(byName),
    ...deliveries
      .toSorted((a, b) => b.exit.at.localeCompare(a.exit.at))
      .map(({ exit, customer }) => {
        const on = dateAt(exit.at, zoneOf(sites.get(exit.lot_id)));
        return make('dispatch', exit.movement_id, exit.paper_number ?? say.noPaper, say.dispatchOf(customer.name, format.date(on)), day(on));
      }),
  ];
}

/** What was found of one kind. */
export interface Finds {
  kind: Kind;
  shown: readonly Findable[];
  /** Found, but not shown. */
  more: number;
}

/** Those in which every word of the text occurs, by kind; none while nothing is asked. */
export function found(all: readonly Findable[], text: string): Finds[] {
  const wanted = folded(text).split(/\s+/).filter((word) => word !== '');
  if (wanted.length === 0) return [];
  const fits = all.filter(({ name, note, also }) => {
    const written = folded(`${name} ${note} ${also}`);
    return wanted.every((word) => written.includes(word));
  });
  return starts
    .map((kind) => {
      const ofKind = fits.filter((one) => one.kind === kind);
      // A name that begins with what was asked is meant sooner than one that holds its words somewhere.
      const begins = (one: Findable): number => (folded(one.name).replaceAll(' · ', ' ').startsWith(wanted.join(' ')) ? 0 : 1);
      const sorted = ofKind.toSorted((a, b) => begins(a) - begins(b));
      return { kind, shown: sorted.slice(0, mostShown), more: Math.max(0, sorted.length - mostShown) };
    })
    .filter(({ shown }) => shown.length > 0);
}
