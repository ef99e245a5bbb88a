import type { Author, FarmBody, InspectionBody, Lot, LotBody, MovementBody, ShipmentBody, SupplierBody, Threshold, VerdictBody, CustomerBody } from '../../contract.gen';
import { madeMoment } from '../../local/clock';
import type { Waiting } from '../../local/db';
import { dateAt } from '../../local/zone';
import { readInspection } from '../inspection/read';
import { limitAtArrival, type Arrivals } from './arrivals';
import { withPlantsMoved } from './plants-moved';

/** What an overlay needs besides: who is signed in, and what the daybook and the sites say. */
export interface Around {
  who: Author;
  thresholds: readonly Threshold[];
  zoneOf: (siteId: string) => string;
}

const hour = 3_600_000;

/** The list with a record in it, in the place of an earlier version. */
function put<T extends { id: string }>(list: readonly T[], record: T): T[] {
  const at = list.findIndex(({ id }) => id === record.id);
  return at < 0 ? [...list, record] : list.with(at, record);
}

/** What every stored record carries, as it will be. */
function recorded(waiting: Waiting, { who }: Around) {
  return { id: waiting.id, version: (waiting.if_match ?? 0) + 1, recorded_at: madeMoment(waiting), recorded_by: who };
}

function shipment(all: Arrivals, waiting: Waiting, around: Around): Arrivals {
  const body = waiting.body as ShipmentBody; // put there by these pages, as the others below
  const before = all.shipments.find(({ id }) => id === waiting.id);
  const zone = around.zoneOf(body.site_id);
  const hours = all.names.suppliers.find(({ id }) => id === body.supplier_id)?.claim_hours ?? 24;
  const arrived_on = body.docked_at ? dateAt(body.docked_at, zone) : body.expected_on;
  const next = {
    ...body,
    ...recorded(waiting, around),
    arrived_on,
    claim_closes_at: body.docked_at ? new Date(Date.parse(body.docked_at) + hours * hour).toISOString() : null,
    lots: before?.lots ?? 0,
    lots_inspected: before?.lots_inspected ?? 0,
  };
  const lots = all.lots.map((lot) => (lot.shipment_id === waiting.id ? { ...lot, arrived_on, supplier_id: body.supplier_id } : lot));
  return { ...all, shipments: put(all.shipments, next), lots };
}

/** Counts the lots of a shipment anew where one came or was inspected. */
function counted(all: Arrivals, shipmentId: string | null | undefined, lots: number, inspected: number): Arrivals {
  const of = all.shipments.find(({ id }) => id === shipmentId);
  return of ? { ...all, shipments: put(all.shipments, { ...of, lots: of.lots + lots, lots_inspected: of.lots_inspected + inspected }) } : all;
}

function lot(all: Arrivals, waiting: Waiting, around: Around): Arrivals {
  const body = waiting.body as LotBody;
  const before = all.lots.find(({ id }) => id === waiting.id);
  const of = all.shipments.find(({ id }) => id === body.shipment_id);
  const more = before ? body.plants - before.plants : body.plants;
  const next: Lot = {
    ...before,
    ...body,
    ...recorded(waiting, around),
    ...((body.code ?? before?.code) && { code: body.code ?? before?.code }),
    site_id: of?.site_id ?? before?.site_id ?? waiting.site_id ?? '',
    season_id: before?.season_id ?? '',
    crop_id: all.names.cultivars.find(({ id }) => id === body.cultivar_id)?.crop_id ?? before?.crop_id ?? '',
    ...((of ?? before) && { supplier_id: of?.supplier_id ?? before?.supplier_id }),
    arrived_on: of?.arrived_on ?? before?.arrived_on ?? dateAt(madeMoment(waiting), around.zoneOf(waiting.site_id ?? '')),
    state: before?.state ?? 'expected',
    plants_on_hand: (before?.plants_on_hand ?? 0) + ((before?.state ?? 'expected') === 'expected' ? more : 0),
  };
  const withIt = { ...all, lots: put(all.lots, next) };
  const counts = (each: Lot | undefined): number => (each && !each.withdrawn_because ? 1 : 0);
  // A correction of a lot that was not fetched here is no new lot.
  return before || (waiting.if_match ?? null) === null ? counted(withIt, body.shipment_id, counts(next) - counts(before), 0) : withIt;
}

function inspection(all: Arrivals, waiting: Waiting, around: Around): Arrivals {
  const body = waiting.body as InspectionBody;
  const before = all.inspections.find(({ id }) => id === waiting.id);
  const of = all.lots.find(({ id }) => id === body.lot_id);
  if (!of) return all;
  const { names } = all;
  const mainOrganismId = names.crops.find(({ id }) => id === of.crop_id)?.main_organism_id ?? '';
  const next = {
    ...body,
    ...recorded(waiting, around),
    site_id: of.site_id,
    inspector: before?.inspector ?? around.who,
    reading: readInspection(body, {
      lotPlants: of.plants,
      mainOrganismId,
      limitPercent: limitAtArrival(around.thresholds, of, mainOrganismId),
      isRegulated: (organism) => Boolean(names.organisms.find(({ id }) => id === organism)?.regulated_note),
    }),
  };
  const inspections = put(all.inspections, next);
  const isNow = body.kind === 'dock' && !body.withdrawn_because;
  if (!isNow || of.inspected) return { ...all, inspections };
  return counted({ ...all, inspections, lots: put(all.lots, { ...of, inspected: true }) }, of.shipment_id, 0, 1);
}

function verdict(all: Arrivals, waiting: Waiting, around: Around): Arrivals {
  const body = waiting.body as VerdictBody;
  const before = all.verdicts.find(({ id }) => id === waiting.id);
  const of = all.inspections.find(({ id }) => id === body.inspection_id);
  const lot_id = of?.lot_id ?? before?.lot_id;
  if (lot_id === undefined || waiting.problem !== null) return all; // one that was refused decides nothing
  const suggested = before?.suggested ?? of?.reading.suggestion ?? 'accept';
  const verdicts = put(all.verdicts, { ...body, ...recorded(waiting, around), lot_id, site_id: of?.site_id ?? '', suggested });
  const decided = verdicts.findLast((one) => one.lot_id === lot_id && !one.withdrawn_because && typeof one.plants !== 'number');
  const held = decided?.decision === 'hold' || decided?.decision === 'reject';
  const lots = all.lots.map((each) => (each.id === lot_id ? { ...each, verdict: decided?.decision ?? null, ...(held && { held }) } : each));
  return { ...all, verdicts, lots };
}

function movement(all: Arrivals, waiting: Waiting, around: Around): Arrivals {
  const body = waiting.body as MovementBody;
  const before = all.movements.find(({ id }) => id === waiting.id);
  const site_id = all.lots.find(({ id }) => id === body.lot_id)?.site_id ?? waiting.site_id ?? '';
  const movements = put(all.movements, { ...body, ...recorded(waiting, around), site_id, while_held: false });
  return { ...all, movements, lots: withPlantsMoved(all.lots, before, body) };
}

function name(all: Arrivals, waiting: Waiting, around: Around): Arrivals {
  const { names } = all;
  const stored = recorded(waiting, around);
  switch (waiting.noun) {
    case 'suppliers':
      return { ...all, names: { ...names, suppliers: put(names.suppliers, { ...(waiting.body as SupplierBody), ...stored }) } };
    case 'farms':
      return { ...all, names: { ...names, farms: put(names.farms, { ...(waiting.body as FarmBody), ...stored }) } };
    default:
      return { ...all, customers: put(all.customers, { ...(waiting.body as CustomerBody), ...stored }) };
  }
}

const overlays: Partial<Record<Waiting['noun'], (all: Arrivals, waiting: Waiting, around: Around) => Arrivals>> = {
  shipments: shipment,
  lots: lot,
  inspections: inspection,
  verdicts: verdict,
  movements: movement,
  suppliers: name,
  farms: name,
  customers: name,
};

/** The version of a record that is there. */
function versionThere(all: Arrivals, { noun, id }: Waiting): number {
  const lists: Partial<Record<Waiting['noun'], readonly { id: string; version: number }[]>> = { ...all, ...all.names };
  return lists[noun]?.find((one) => one.id === id)?.version ?? 0;
}

/**
 * Arrivals with what waits on this phone, as if the server had it: what follows from a record
 * by the server's rules, as far as the phone can tell. A record the server has already is not
 * put in again.
 */
export function withWaiting(arrivals: Arrivals, waiting: readonly Waiting[], around: Around): Arrivals {
  return waiting.reduce((all, one) => {
    const overlay = overlays[one.noun];
    return overlay && versionThere(all, one) <= (one.if_match ?? 0) ? overlay(all, one, around) : all;
  }, arrivals);
}
