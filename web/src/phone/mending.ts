import type { Waiting } from '../local/db';

/** Where a member of a record's body leads. */
function led(record: Waiting, member: string, to: (id: string) => string): string | null {
  const id = record.body[member];
  return typeof id === 'string' ? to(id) : null;
}

const toLot = (id: string): string => `/dock/lots/${id}`;

/** The page on which a record is mended; null where there is none. */
export function mendAddress(record: Waiting): string | null {
  const { noun, id } = record;
  switch (noun) {
    case 'looks':
      return `/walk/looks/${id}`;
    case 'shipments':
    case 'lots':
    case 'inspections':
      return `/dock/${noun}/${id}/correct`;
    case 'claims':
      return led(record, 'shipment_id', (shipment) => `/dock/shipments/${shipment}/claim?claim=${id}&write=yes`);
    case 'verdicts':
      return led(record, 'inspection_id', (inspection) => `/dock/inspections/${inspection}`);
    case 'movements':
    case 'lab-samples':
      return led(record, 'lot_id', toLot);
    case 'holds':
      return record.body.scope === 'lot' ? led(record, 'scope_id', toLot) : null;
    default:
      return null;
  }
}
