import type { LotBody, ShipmentBody } from '../../contract.gen';
import { format, words } from '../../words';
import { cultivarName, supplierName, type Names } from './names';

/** What a person calls a shipment: who sent it, and the day. */
export function shipmentTitle(names: Names, shipment: Pick<ShipmentBody, 'supplier_id' | 'expected_on'> & { arrived_on?: string }): string {
  return words.value.dock.shipment.title(supplierName(names, shipment.supplier_id), format.value.date(shipment.arrived_on ?? shipment.expected_on));
}

/** What a person calls a lot: its code, once it has one, and its cultivar. */
export function lotTitle(names: Names, lot: Pick<LotBody, 'code' | 'cultivar_id'>): string {
  return words.value.dock.lot.title(lot.code ?? '', cultivarName(names, lot.cultivar_id)).trim();
}
