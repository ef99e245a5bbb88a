import { client, fetchAll, fetchOne, read } from '../../../api';
import type { Customer, Daybook, Hold, Inspection, Look, Lot, LotAncestor, LotLife, Movement, SecondLook, Shipment, Verdict } from '../../../contract.gen';
import type { Arrivals } from '../../shared/arrivals';
import type { Answered } from '../../shared/here';
import { loadNames, type Names } from '../../shared/names';
import { isWaiting } from '../../shared/saving';
import { loadPlaces, placesOf, type Places } from '../places';
import { keptLife, placementsAfter } from './kept-life';

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
  /** Whether this is all of its life; else what the phone knows with no network. */
  whole: boolean;
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

/** What the server works out of a lot, beside the arrivals. */
export type Worked = Pick<Found, 'life' | 'ancestors' | 'ancestorsLeftOut' | 'holds' | 'others' | 'secondLook' | 'places'> & { looks: readonly Look[] };

/** Fetches a lot with all its page shows. */
export async function fetchLot(id: string, signal: AbortSignal): Promise<Answered<Worked>> {
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
  const lots = kin.some((each) => each.id === id) ? kin : [...kin, lot];
  const { inspections, verdicts, movements } = own;
  return {
    arrivals: { shipments: shipment ? [shipment] : [], lots, inspections, verdicts, movements, customers, names },
    more: { life, ancestors, ancestorsLeftOut, holds, others, secondLook, places, looks: own.looks },
  };
}

/** What a phone has of it with no network. */
function kept(book: Daybook, lot: Lot, verdicts: readonly Verdict[]): Worked {
  return {
    life: keptLife(book, lot, verdicts),
    ancestors: [],
    ancestorsLeftOut: 0,
    holds: book.holds,
    others: [],
    secondLook: null,
    places: placesOf(book),
    looks: book.looks.filter(({ lot_id }) => lot_id === lot.id),
  };
}

/** What the page of a lot shows, with what waits on this phone; undefined when the lot is not known here. */
export function foundOf(arrivals: Arrivals, more: Worked | null, book: Daybook | null, id: string): Found | undefined {
  const lot = arrivals.lots.find((each) => each.id === id);
  if (!lot) return undefined;
  const verdicts = arrivals.verdicts.filter(({ lot_id }) => lot_id === id);
  const worked = more ?? (book && kept(book, lot, verdicts));
  if (!worked) return undefined;
  const { looks, ...rest } = worked;
  const movements = arrivals.movements.filter((each) => each.lot_id === id || (each.parts ?? []).some(({ lot_id }) => lot_id === id));
  const waiting = movements.filter((each) => isWaiting(each.id));
  const placements = placementsAfter(rest.life.placements, waiting).filter(({ lot_id }) => lot_id === id);
  return {
    ...rest,
    lot,
    shipment: arrivals.shipments.find((each) => each.id === lot.shipment_id) ?? null,
    life: { ...rest.life, placements, ...(waiting.length > 0 && lot.state && { state: lot.state }) },
    own: { movements, inspections: arrivals.inspections.filter(({ lot_id }) => lot_id === id), verdicts, looks },
    kin: arrivals.lots.filter((each) => each.site_id === lot.site_id && each.cultivar_id === lot.cultivar_id),
    customers: arrivals.customers,
    names: arrivals.names,
    whole: more !== null,
  };
}

/** The code of a lot among its kin; a dash for one that may not be seen. */
export function codeOf(kin: readonly Lot[], id: string): string {
  return kin.find((lot) => lot.id === id)?.code ?? '–';
}
