import type { Shipment } from '../../contract.gen';
import { atZone } from '../../local/zone';
import { notify } from '../../parts';
import { problemText, toProblem } from '../../problem';
import { serverNow } from '../../session';
import { format, words } from '../../words';
import { shipmentBody } from './bodies';
import { save } from './saving';
import { zoneOf } from './site';

/** Says that the shipment stands at the dock now; can be undone. Throws ApiProblem. */
export async function arriveNow(shipment: Shipment, supplier: string, changed: () => void): Promise<void> {
  const zone = zoneOf(shipment.site_id);
  const at = atZone(serverNow(), zone);
  const title = words.value.dock.shipment.title(supplier, format.value.date(shipment.expected_on));
  const version = await save('shipments', shipment.id, { ...shipmentBody(shipment), docked_at: at }, shipment.version, title);
  changed();
  const undo = async (): Promise<void> => {
    try {
      await save('shipments', shipment.id, shipmentBody(shipment), version, title);
      notify(words.value.common.undone);
      changed();
    } catch (thrown) {
      notify(problemText(toProblem(thrown), words.value));
    }
  };
  notify(words.value.dock.arrivedNow(supplier, format.value.time(at, zone)), { undo: () => void undo() });
}
