import { fetchAll, fetchOne } from '../api';
import type { Block, Cultivar, House, Lot, Shipment } from '../contract.gen';
import { blockAddress, labelAddress } from './address';
import { gtinOf } from './gtin';

/** A lot as its label tells of it. */
export interface LotSubject {
  kind: 'lot';
  id: string;
  code: string;
  cultivar: string;
  arrivedOn: string;
  /** Whether it reached the dock; until then the date is the expected one. */
  here: boolean;
  supplierLotCode: string | null;
  gtin: string | null;
}

/** A block as its label tells of it. */
export interface BlockSubject {
  kind: 'block';
  id: string;
  name: string;
  house: string;
}

export type Subject = LotSubject | BlockSubject;

/** What the labels are for, and the name it goes by. */
export type Source =
  | { of: 'shipment'; id: string; supplier: string; arrivedOn: string }
  | { of: 'lot'; id: string }
  | { of: 'house'; id: string; name: string }
  | { of: 'site'; id: string; name: string };

export interface Found {
  source: Source;
  subjects: Subject[];
}

const collate = new Intl.Collator(undefined, { numeric: true }).compare;

function lotSubject(lot: Lot, cultivars: readonly Cultivar[], shipment: Shipment | null): LotSubject {
  const cultivar = cultivars.find(({ id }) => id === lot.cultivar_id);
  return {
    kind: 'lot',
    id: lot.id,
    code: lot.code ?? '',
    cultivar: cultivar?.name ?? '',
    arrivedOn: lot.arrived_on,
    here: shipment === null || typeof shipment.docked_at === 'string', // without one it began here
    supplierLotCode: lot.supplier_lot_code ?? null,
    gtin: cultivar ? gtinOf(cultivar) : null,
  };
}

/** The lots of a shipment in the order of their codes; withdrawn ones are left out. */
export function lotSubjects(lots: readonly Lot[], cultivars: readonly Cultivar[], shipment: Shipment): LotSubject[] {
  return lots
    .filter((lot) => !lot.withdrawn_because)
    .map((lot) => lotSubject(lot, cultivars, shipment))
    .toSorted((a, b) => collate(a.code, b.code));
}

/** Blocks house by house, in walking order: so the labels are put up on one walk. */
export function blockSubjects(blocks: readonly Block[], houses: readonly House[]): BlockSubject[] {
  const name = new Map(houses.map((house) => [house.id, house.name]));
  return blocks
    .toSorted((a, b) => collate(name.get(a.house_id) ?? '', name.get(b.house_id) ?? '') || a.position - b.position || collate(a.name, b.name))
    .map((block) => ({ kind: 'block', id: block.id, name: block.name, house: name.get(block.house_id) ?? '' }));
}

export async function fetchShipment(id: string, signal: AbortSignal): Promise<Found> {
  const [shipment, lots, cultivars] = await Promise.all([
    fetchOne('shipments', id, signal),
    fetchAll('lots', { shipment_id: id }, signal),
    fetchAll('cultivars', {}, signal),
  ]);
  const supplier = await fetchOne('suppliers', shipment.supplier_id, signal);
  return {
    source: { of: 'shipment', id, supplier: supplier.name, arrivedOn: shipment.arrived_on },
    subjects: lotSubjects(lots, cultivars, shipment),
  };
}

export async function fetchLot(id: string, signal: AbortSignal): Promise<Found> {
  const lot = await fetchOne('lots', id, signal);
  const arrived = lot.shipment_id ? fetchOne('shipments', lot.shipment_id, signal) : null;
  const [shipment, cultivar] = await Promise.all([arrived, fetchOne('cultivars', lot.cultivar_id, signal)]);
  return { source: { of: 'lot', id }, subjects: [lotSubject(lot, [cultivar], shipment)] };
}

export async function fetchHouse(id: string, signal: AbortSignal): Promise<Found> {
  const [house, blocks] = await Promise.all([fetchOne('houses', id, signal), fetchAll('blocks', { house_id: id }, signal)]);
  return { source: { of: 'house', id, name: house.name }, subjects: blockSubjects(blocks, [house]) };
}

export async function fetchSite(id: string, signal: AbortSignal): Promise<Found> {
  const at = { site_id: id };
  const [site, houses, blocks] = await Promise.all([fetchOne('sites', id, signal), fetchAll('houses', at, signal), fetchAll('blocks', at, signal)]);
  return { source: { of: 'site', id, name: site.name }, subjects: blockSubjects(blocks, houses) };
}

/** The address in the code of a label. */
export function addressOf(subject: Subject, origin: string): string {
  return subject.kind === 'lot' ? labelAddress(origin, subject, subject.gtin) : blockAddress(origin, subject.id);
}
