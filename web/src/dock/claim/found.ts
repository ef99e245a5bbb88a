import { fetchAll, fetchOne } from '../../api';
import type { Claim, ClaimBody, Inspection, Lot, Movement, Photo, Shipment, Verdict } from '../../contract.gen';
import type { Waiting } from '../../local/db';
import { onlyNames, type Arrivals } from '../shared/arrivals';
import type { Answered } from '../shared/here';
import { loadNames, type Names } from '../shared/names';
import { withWaiting } from './waiting';

/** All that is known of a shipment that may be claimed. Nothing in it is withdrawn but claims. */
export interface Found {
  shipment: Shipment;
  /** In the order of their codes. */
  lots: Lot[];
  movements: Movement[];
  /** In the order in which they were made. */
  inspections: Inspection[];
  verdicts: Verdict[];
  /** With their pictures, in the order in which they were taken. */
  photos: Photo[];
  /** Latest first. */
  claims: Claim[];
  names: Names;
}

const stands = ({ withdrawn_because }: { withdrawn_because?: string | null | undefined }): boolean => !withdrawn_because;

/** Latest first: ids follow time. */
export function latestFirst(claims: readonly Claim[]): Claim[] {
  return claims.toSorted((a, b) => b.id.localeCompare(a.id));
}

/** What comes with the arrivals from the server, and not from the phone. */
export interface More {
  photos: Photo[];
  claims: Claim[];
}

export async function fetchClaimed(shipmentId: string, signal: AbortSignal): Promise<Answered<More>> {
  const query = { shipment_id: shipmentId };
  const [shipment, lots, movements, inspections, verdicts, photos, claims, names] = await Promise.all([
    fetchOne('shipments', shipmentId, signal),
    fetchAll('lots', query, signal),
    fetchAll('movements', query, signal),
    fetchAll('inspections', query, signal),
    fetchAll('verdicts', query, signal),
    fetchAll('photos', query, signal),
    fetchAll('claims', query, signal),
    loadNames(),
  ]);
  return { arrivals: { ...onlyNames(names), shipments: [shipment], lots, movements, inspections, verdicts }, more: { photos, claims } };
}

/** What the page shows of a shipment, in its order; undefined when the shipment is not there. */
export function foundOf(arrivals: Arrivals, { photos, claims }: More, waiting: readonly Waiting[], shipmentId: string): Found | undefined {
  const shipment = arrivals.shipments.find(({ id }) => id === shipmentId);
  if (!shipment) return undefined;
  const lots = arrivals.lots.filter((lot) => stands(lot) && lot.shipment_id === shipmentId);
  const came = ({ lot_id }: { lot_id: string }): boolean => lots.some(({ id }) => id === lot_id);
  return {
    shipment,
    lots: lots.toSorted((a, b) => (a.code ?? '').localeCompare(b.code ?? '')),
    movements: arrivals.movements.filter((one) => stands(one) && came(one)),
    inspections: arrivals.inspections.filter((one) => stands(one) && came(one)).toSorted((a, b) => Date.parse(a.inspected_at) - Date.parse(b.inspected_at)),
    verdicts: arrivals.verdicts.filter((one) => stands(one) && came(one)).toSorted((a, b) => Date.parse(a.recorded_at) - Date.parse(b.recorded_at)),
    photos: photos.filter((photo) => stands(photo) && photo.picture).toSorted((a, b) => Date.parse(a.taken_at) - Date.parse(b.taken_at)),
    claims: latestFirst(withWaiting(claims.filter(({ shipment_id }) => shipment_id === shipmentId), waiting, [shipment])),
    names: arrivals.names,
  };
}

/** The lots a claim is about; all of them where it speaks of the shipment as a whole. */
export function claimedLots({ items }: Pick<ClaimBody, 'items'>, lots: readonly Lot[]): Lot[] {
  const named = new Set((items ?? []).map(({ lot_id }) => lot_id ?? null));
  if (named.size === 0 || named.has(null)) return [...lots];
  return lots.filter(({ id }) => named.has(id));
}

/** What was seen up to the sending of a claim: what is seen later was not in it. */
export function upToSending(found: Found, { sent_at }: Pick<ClaimBody, 'sent_at'>): Found {
  if (!sent_at) return found;
  const end = Date.parse(sent_at);
  return {
    ...found,
    inspections: found.inspections.filter(({ inspected_at }) => Date.parse(inspected_at) <= end),
    photos: found.photos.filter(({ taken_at }) => Date.parse(taken_at) <= end),
  };
}

/** All plants of counts per class. */
export function totalOf(counts: object | null | undefined): number {
  return Object.values(counts ?? {}).reduce((sum: number, n: unknown) => sum + (typeof n === 'number' ? n : 0), 0);
}

/** The most plants that were looked at for anything in an inspection. */
export function plantsLookedAt({ findings, condition, roots, leaf_spots, other_diseases }: Inspection): number {
  return Math.max(
    0,
    ...findings.map(({ plants_looked_at: n }) => n),
    ...(other_diseases ?? []).map(({ plants_looked_at: n }) => n),
    leaf_spots?.plants_looked_at ?? 0,
    totalOf(condition),
    totalOf(roots),
  );
}
