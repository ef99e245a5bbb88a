import { client, fetchAll, fetchOne, read } from '../../../api';
import type { Customer, Hold, Inspection, Look, Lot, LotAncestor, LotLife, Movement, SecondLook, Shipment, Verdict } from '../../../contract.gen';
import { loadNames, type Names } from '../../shared/names';
import { loadPlaces, type Places } from '../places';

/** What was recorded of one lot. */
export interface Records {
  movements: readonly Movement[];
  inspections: readonly Inspection[];
  verdicts: readonly Verdict[];
  looks: readonly Look[];
}

/** A lot that the plants went through, with what was recorded of it. */
export interface Ancestor {
  of: LotAncestor;
  records: Records;
}

/** Everything the page of a lot shows. */
export interface Found {
  lot: Lot;
  /** None for a lot that began here by a split or merge. */
  shipment: Shipment | null;
  life: LotLife;
  own: Records;
  ancestors: readonly Ancestor[];
  /** Ancestors whose records were not fetched, because there are so many. */
  ancestorsLeftOut: number;
  holds: readonly Hold[];
  /** Lots of the same cultivar at the site, this one among them: parents, children and what it can be merged with. */
  kin: readonly Lot[];
  /** Movements that conflicts speak of and that happened to other lots. */
  others: readonly Movement[];
  customers: readonly Customer[];
  secondLook: SecondLook | null;
  places: Places;
  names: Names;
}

/** Ancestors whose records are read with the page, those of most plants first. */
const ancestorsRead = 12;

async function fetchRecords(lotId: string, signal: AbortSignal): Promise<Records> {
  const [movements, inspections, verdicts, looks] = await Promise.all([
    fetchAll('movements', { lot_id: lotId }, signal),
    fetchAll('inspections', { lot_id: lotId }, signal),
    fetchAll('verdicts', { lot_id: lotId }, signal),
    fetchAll('looks', { lot_id: lotId }, signal),
  ]);
  return { movements, inspections, verdicts, looks };
}

async function fetchOthers(known: readonly Movement[], signal: AbortSignal): Promise<Movement[]> {
  const ids = new Set(known.map(({ id }) => id));
  const named = new Set(known.flatMap(({ conflict }) => conflict?.with ?? []).filter((id) => !ids.has(id)));
  return await Promise.all([...named].slice(-10).map((id) => fetchOne('movements', id, signal)));
}

export async function fetchLot(id: string, signal: AbortSignal): Promise<Found> {
  const lot = await fetchOne('lots', id, signal);
  const [shipment, life, own, holds, kin, customers, looks, places, names] = await Promise.all([
    lot.shipment_id ? fetchOne('shipments', lot.shipment_id, signal) : null,
    read(client.GET('/lots/{id}/life', { params: { path: { id } }, signal })),
    fetchRecords(id, signal),
    fetchAll('holds', { lot_id: id }, signal),
    fetchAll('lots', { site_id: lot.site_id, cultivar_id: lot.cultivar_id }, signal),
    fetchAll('customers', {}, signal),
    read(client.GET('/second-looks', { params: { query: { site_id: lot.site_id } }, signal })),
    loadPlaces(lot.site_id, signal),
    loadNames(),
  ]);
  const nearest = life.ancestors.toSorted((a, b) => b.percent - a.percent || b.until.localeCompare(a.until)).slice(0, ancestorsRead);
  const [ancestors, others] = await Promise.all([
    Promise.all(nearest.map(async (of) => ({ of, records: await fetchRecords(of.lot_id, signal) }))),
    fetchOthers(own.movements, signal),
  ]);
  const secondLook = looks.items.find((look) => look.lot_id === id) ?? null;
  const ancestorsLeftOut = life.ancestors.length - nearest.length;
  return { lot, shipment, life, own, ancestors, ancestorsLeftOut, holds, kin, others, customers, secondLook, places, names };
}

/** The code of a lot among its kin; a dash for one that may not be seen. */
export function codeOf(kin: readonly Lot[], id: string): string {
  return kin.find((lot) => lot.id === id)?.code ?? '–';
}
