import type { Customer, Daybook, Inspection, Lot, Movement, Shipment, Threshold, Verdict } from '../../contract.gen';
import type { Names } from './names';

/** What Dock's pages show, from the server or from the daybook, as much of it as a page needs. */
export interface Arrivals {
  shipments: readonly Shipment[];
  lots: readonly Lot[];
  inspections: readonly Inspection[];
  verdicts: readonly Verdict[];
  movements: readonly Movement[];
  customers: readonly Customer[];
  names: Names;
}

/** Arrivals of which only the names are known yet. */
export function onlyNames(names: Names): Arrivals {
  return { shipments: [], lots: [], inspections: [], verdicts: [], movements: [], customers: [], names };
}

/** The names of a daybook. */
export function namesOfBook({ suppliers, farms, cultivars, crops, organisms }: Daybook): Names {
  return { suppliers, farms, cultivars, crops, organisms };
}

/** All arrivals of a daybook. Movements are not in it. */
export function arrivalsOfBook(book: Daybook): Arrivals {
  const { shipments, lots, inspections, verdicts, customers } = book;
  return { shipments, lots, inspections, verdicts, movements: [], customers, names: namesOfBook(book) };
}

/** The limit on the main organism that a lot is judged by at its arrival, in percent; 0 when none is set. */
export function limitAtArrival(thresholds: readonly Threshold[], lot: Pick<Lot, 'crop_id' | 'cultivar_id' | 'arrived_on'>, organismId: string): number {
  const limits = thresholds
    .filter((one) => one.crop_id === lot.crop_id && one.organism_id === organismId && one.effect === 'act')
    .filter((one) => !one.withdrawn_because && !one.house_id && (!one.cultivar_id || one.cultivar_id === lot.cultivar_id))
    .filter((one) => one.from_on <= lot.arrived_on && lot.arrived_on <= one.to_on);
  return limits.length === 0 ? 0 : Math.min(...limits.map(({ percent }) => percent));
}
