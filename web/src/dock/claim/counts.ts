import type { Form, Inspection, Lot, Movement, Shipment } from '../../contract.gen';
import { countsOf } from '../shipment/compare';
import { plantsLookedAt } from './found';

/** What was ordered, invoiced, received and inspected of one cultivar in one form. */
export interface Counted {
  key: string;
  cultivarId: string;
  form: Form;
  /** The lots that came of it; none where nothing came. */
  lots: Lot[];
  substituteForId: string | null;
  ordered: number | null;
  invoiced: number | null;
  onPapers: number | null;
  /** Counted at the dock; null while not all of its lots were counted. */
  received: number | null;
  /** Received less invoiced, or less what the papers say where no invoice is written down. */
  difference: number | null;
  /** Plants looked at in inspections at the dock. */
  inspected: number;
}

interface Records {
  shipment: Pick<Shipment, 'order_lines'>;
  lots: readonly Lot[];
  movements: readonly Movement[];
  inspections: readonly Inspection[];
}

/** A row for each cultivar and form. A line of the order and an invoice speak of all its lots together. */
export function countedOf({ shipment, lots, movements, inspections }: Records): Counted[] {
  const rows = new Map<string, Counted>();
  const counts = countsOf(movements);
  const rowOf = (cultivarId: string, form: Form): Counted => {
    const key = `${cultivarId} ${form}`;
    const row = rows.get(key) ?? {
      key,
      cultivarId,
      form,
      lots: [],
      substituteForId: null,
      ordered: null,
      invoiced: null,
      onPapers: null,
      received: null,
      difference: null,
      inspected: 0,
    };
    rows.set(key, row);
    return row;
  };
  for (const lot of lots) rowOf(lot.cultivar_id, lot.form ?? 'unrooted').lots.push(lot);
  for (const line of shipment.order_lines ?? []) {
    const row = rowOf(line.cultivar_id, line.form ?? 'unrooted');
    row.ordered = (row.ordered ?? 0) + line.ordered;
    if (typeof line.invoiced === 'number') row.invoiced = (row.invoiced ?? 0) + line.invoiced;
    row.substituteForId = line.substitute_for_id ?? row.substituteForId;
  }
  for (const row of rows.values()) {
    const ids = new Set(row.lots.map(({ id }) => id));
    if (row.lots.length > 0) row.onPapers = row.lots.reduce((sum, { plants }) => sum + plants, 0);
    if (row.lots.length > 0 && row.lots.every(({ id }) => counts.has(id))) row.received = row.lots.reduce((sum, { id }) => sum + (counts.get(id) ?? 0), 0);
    const asked = row.invoiced ?? row.onPapers;
    if (row.received !== null && asked !== null) row.difference = row.received - asked;
    row.inspected = inspections
      .filter(({ lot_id, kind }) => kind === 'dock' && ids.has(lot_id))
      .reduce((sum, inspection) => sum + plantsLookedAt(inspection), 0);
  }
  return [...rows.values()];
}
