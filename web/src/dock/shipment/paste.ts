import type { Farm, Form, LotBody, PastedLot } from '../../contract.gen';
import { uuid7 } from '../../local/uuid7';
import { Drafts } from '../shared/drafts';

/** A line of a supplier's list as it was read and mended. */
export interface PasteRow {
  /** The id the lot will have, so that saving again after a lost answer makes no second lot. */
  id: string;
  line: number;
  text: string;
  cultivarId: string | null;
  cultivarName: string;
  plants: number | null;
  farmId: string | null;
  farmName: string;
  lotCode: string;
  form: Form;
  faults: PastedLot['faults'];
  leftOut: boolean;
  saved: boolean;
}

export interface PasteDraft {
  text: string;
  knownBy: string;
  /** Null until the list was read. */
  rows: PasteRow[] | null;
}

export const pasteDrafts = new Drafts<PasteDraft>('paste');

export function rowOf(lot: PastedLot): PasteRow {
  return {
    id: uuid7(),
    line: lot.line,
    text: lot.text,
    cultivarId: lot.cultivar_id ?? null,
    cultivarName: lot.cultivar_name ?? '',
    plants: lot.plants ?? null,
    farmId: lot.farm_id ?? null,
    farmName: lot.farm_name ?? '',
    lotCode: lot.supplier_lot_code ?? '',
    form: lot.form ?? 'unrooted',
    faults: lot.faults,
    leftOut: false,
    saved: false,
  };
}

/** Whether a lot can be made of the row. A farm may be named later. */
export function isComplete(row: PasteRow): boolean {
  return row.cultivarId !== null && row.plants !== null && row.plants >= 1;
}

/** Rows that will be saved next. */
export function rowsToSave(rows: readonly PasteRow[]): PasteRow[] {
  return rows.filter((row) => !row.leftOut && !row.saved);
}

/** The faults of a row that nobody has mended yet. */
export function openFaults(row: PasteRow): PastedLot['faults'] {
  return row.faults.filter(({ pointer }) => {
    if (pointer.endsWith('/cultivar_name')) return row.cultivarId === null;
    if (pointer.endsWith('/plants')) return row.plants === null || row.plants < 1;
    if (pointer.endsWith('/farm_name')) return row.farmId === null && row.farmName !== '';
    return true;
  });
}

/** The lot a row becomes. `knownBy` is the paper that names the farms. */
export function lotBodyOfRow(row: PasteRow, shipmentId: string, knownBy: string): LotBody {
  return {
    shipment_id: shipmentId,
    cultivar_id: row.cultivarId ?? '',
    plants: row.plants ?? 0,
    form: row.form,
    ...(row.farmId !== null && { farm_ids: [row.farmId] }),
    ...(row.farmId !== null && knownBy.trim() !== '' && { farm_known_by: knownBy.trim() }),
    ...(row.lotCode.trim() !== '' && { supplier_lot_code: row.lotCode.trim() }),
  };
}

/** The rows, with a farm that was just added set wherever the list names it. */
export function withFarm(rows: readonly PasteRow[], farm: Pick<Farm, 'id' | 'name'>): PasteRow[] {
  const named = (name: string): string => name.trim().toLocaleLowerCase();
  return rows.map((row) => (row.farmId === null && named(row.farmName) === named(farm.name) ? { ...row, farmId: farm.id } : row));
}
