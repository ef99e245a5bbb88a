import type { Form, Lot, LotBody } from '../../contract.gen';
import { uuid7 } from '../../local/uuid7';
import { Drafts } from '../shared/drafts';

/** A lot as it is being typed. */
export interface LotDraft {
  id: string;
  /** None for a lot that began here by a split or merge. */
  shipmentId: string | null;
  cultivarId: string | null;
  farmIds: string[];
  farmKnownBy: string;
  supplierLotCode: string;
  rootingStation: string;
  form: Form;
  plants: number | null;
  code: string;
  note: string;
  withdrawnBecause: string | null;
}

export const lotDrafts = new Drafts<LotDraft>('lot');

export function newLotDraft(shipmentId: string, form: Form = 'unrooted'): LotDraft {
  return {
    id: uuid7(),
    shipmentId,
    cultivarId: null,
    farmIds: [],
    farmKnownBy: '',
    supplierLotCode: '',
    rootingStation: '',
    form,
    plants: null,
    code: '',
    note: '',
    withdrawnBecause: null,
  };
}

export function draftOfLot(x: Lot): LotDraft {
  return {
    id: x.id,
    shipmentId: x.shipment_id ?? null,
    cultivarId: x.cultivar_id,
    farmIds: x.farm_ids ?? [],
    farmKnownBy: x.farm_known_by ?? '',
    supplierLotCode: x.supplier_lot_code ?? '',
    rootingStation: x.rooting_station ?? '',
    form: x.form ?? 'unrooted',
    plants: x.plants,
    code: x.code ?? '',
    note: x.note ?? '',
    withdrawnBecause: x.withdrawn_because ?? null,
  };
}

/** The pointers of what must be filled in and is not. */
export function missingInLot(draft: LotDraft): string[] {
  return [...(draft.cultivarId === null ? ['/cultivar_id'] : []), ...(draft.plants === null ? ['/plants'] : [])];
}

/** What is sent. A lot without a code gets one from the server. */
export function lotBodyOf(draft: LotDraft): LotBody {
  const text = (value: string): string | undefined => (value.trim() === '' ? undefined : value.trim());
  const farmKnownBy = draft.farmIds.length > 0 ? text(draft.farmKnownBy) : undefined;
  const supplierLotCode = text(draft.supplierLotCode);
  const rootingStation = text(draft.rootingStation);
  const code = text(draft.code);
  const note = text(draft.note);
  return {
    ...(draft.shipmentId !== null && { shipment_id: draft.shipmentId }),
    cultivar_id: draft.cultivarId ?? '',
    plants: draft.plants ?? 0,
    form: draft.form,
    ...(draft.farmIds.length > 0 && { farm_ids: draft.farmIds }),
    ...(farmKnownBy !== undefined && { farm_known_by: farmKnownBy }),
    ...(supplierLotCode !== undefined && { supplier_lot_code: supplierLotCode }),
    ...(rootingStation !== undefined && { rooting_station: rootingStation }),
    ...(code !== undefined && { code }),
    ...(note !== undefined && { note }),
    ...(draft.withdrawnBecause !== null && { withdrawn_because: draft.withdrawnBecause }),
  };
}
