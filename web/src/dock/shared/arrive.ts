import { save } from '../../api';
import type { Shipment } from '../../contract.gen';
import { atZone } from '../../local/zone';
import { notify } from '../../parts';
import { problemText, toProblem } from '../../problem';
import { serverNow } from '../../session';
import { format, words } from '../../words';
import { shipmentBody } from './bodies';
import { zoneOf } from './site';

/** Says that the shipment stands at the dock now; can be undone. Throws ApiProblem. */
export async function arriveNow(shipment: Shipment, supplier: string, changed: () => void): Promise<void> {
  const zone = zoneOf(shipment.site_id);
  const at = atZone(serverNow(), zone);
  const stored = await save('shipments', shipment.id, { ...shipmentBody(shipment), docked_at: at }, shipment.version);
  changed();
  const undo = async (): Promise<void> => {
    try {
      await save('shipments', shipment.id, shipmentBody(shipment), stored.version);
      notify(words.value.common.undone);
      changed();
    } catch (thrown) {
      notify(problemText(toProblem(thrown), words.value));
    }
  };
  notify(words.value.dock.arrivedNow(supplier, format.value.time(at, zone)), { undo: () => void undo() });
}
