import type { Trail } from '../contract.gen';
import { dateAt } from '../local/zone';
import type { Speech } from '../trends/answers';
import { nameIn, zoneOf, type Names } from './names';

/** Something that happened to lots of the trail. */
export interface TrailEvent {
  key: string;
  /** The site's date. */
  on: string;
  what: string;
  lots: string[];
  plants: number;
  paper: string;
  whileHeld: boolean;
}

/** Arrivals, splits and merges, dispatches and discards in time. */
export function eventsOf(trail: Trail, names: Names, { words }: Speech): TrailEvent[] {
  const say = words.trail.events;
  const lots = new Map(trail.lots.map((lot) => [lot.lot_id, lot]));
  const code = (id: string): string => lots.get(id)?.code ?? words.common.unknown;
  const dayOf = (moment: string, lotId: string): string => dateAt(moment, zoneOf(lots.get(lotId)?.site_id));
  const arrivals = trail.shipments.map((shipment): TrailEvent => {
    const brought = trail.lots.filter((lot) => lot.shipment_id === shipment.shipment_id);
    return {
      key: shipment.shipment_id,
      on: shipment.arrived_on,
      what: say.arrived(nameIn(names.suppliers, shipment.supplier_id)),
      lots: brought.map((lot) => lot.code),
      plants: brought.reduce((sum, lot) => sum + lot.tally.received, 0),
      paper: shipment.papers.map(({ number }) => number).join(', '),
      whileHeld: false,
    };
  });
  const births = trail.links.map(
    (link): TrailEvent => ({
      key: `${link.movement_id} ${link.from_lot_id} ${link.to_lot_id}`,
      on: dayOf(link.at, link.from_lot_id),
      what: say.born(code(link.to_lot_id)),
      lots: [code(link.from_lot_id)],
      plants: link.plants,
      paper: '',
      whileHeld: false,
    }),
  );
  const exits = trail.exits.map(
    (exit): TrailEvent => ({
      key: exit.movement_id,
      on: dayOf(exit.at, exit.lot_id),
      what: exit.kind === 'dispatch' ? say.dispatched(nameIn(names.customers, exit.customer_id)) : say.discarded(exit.reason ?? ''),
      lots: [code(exit.lot_id)],
      plants: exit.plants,
      paper: exit.paper_number ?? '',
      whileHeld: exit.while_held === true,
    }),
  );
  return [...arrivals, ...births, ...exits].toSorted((a, b) => a.on.localeCompare(b.on));
}
