import type { Lot, Shipment } from '../../contract.gen';
import { Button, ButtonLink, ProblemNotice, Tag, Writing } from '../../parts';
import { Link } from '../../router';
import { readsOnly } from '../../session';
import { format, words } from '../../words';
import { arriveNow } from '../shared/arrive';
import { ClaimClock } from '../shared/claim';
import { inspectAddress } from '../shared/inspect-address';
import { cultivarName, supplierName, type Names } from '../shared/names';
import { useSaving } from '../shared/saving';
import { zoneOf } from '../shared/site';

interface RowProps {
  shipment: Shipment;
  names: Names;
  now: Date;
}

const mostLots = 5;

function LotsToInspect({ shipment, lots, names }: { shipment: Shipment; lots: readonly Lot[]; names: Names }) {
  const { dock, common } = words.value;
  const shown = lots.slice(0, mostLots);
  return (
    <ul class="dock-lots">
      {shown.map((lot) => (
        <li key={lot.id}>
          <Link to={inspectAddress(lot.id)} class="dock-lot-link">
            <span class="dock-code">{lot.code}</span>
            <span>{cultivarName(names, lot.cultivar_id)}</span>
            <span class="quiet">{common.plants(lot.plants)}</span>
            <Writing>
              <span class="dock-go">{dock.inspect}</span>
            </Writing>
          </Link>
        </li>
      ))}
      {lots.length > shown.length && (
        <li>
          <Link to={`/dock/shipments/${shipment.id}`} class="dock-lot-link">
            {dock.moreLots(lots.length - shown.length)}
          </Link>
        </li>
      )}
    </ul>
  );
}

/** A shipment that needs a person: what is open, until when, and its lots ready to be tapped. */
export function WaitingRow({ shipment, names, now, lots }: RowProps & { lots: readonly Lot[] }) {
  const { dock } = words.value;
  const zone = zoneOf(shipment.site_id);
  const waiting = shipment.lots - shipment.lots_inspected;
  return (
    <li class="dock-item">
      <div class="dock-item-head">
        <h3>
          <Link to={`/dock/shipments/${shipment.id}`}>{supplierName(names, shipment.supplier_id)}</Link>
        </h3>
        <p>{shipment.lots === 0 ? dock.noLots : waiting > 0 ? dock.toInspect(waiting, shipment.lots) : dock.allInspected(shipment.lots)}</p>
        <p class="quiet">{shipment.docked_at && dock.arrived(format.value.moment(shipment.docked_at, zone))}</p>
        <p>
          <ClaimClock shipment={shipment} now={now} />
        </p>
      </div>
      {lots.length > 0 && <LotsToInspect shipment={shipment} lots={lots} names={names} />}
      {shipment.lots === 0 && !readsOnly() && (
        <div>
          <ButtonLink to={`/dock/shipments/${shipment.id}/paste`}>{dock.writeLots}</ButtonLink>
        </div>
      )}
    </li>
  );
}

/** A shipment on its way; one tap says that it is here. */
export function ExpectedRow({ shipment, names, today, changed }: Omit<RowProps, 'now'> & { today: string; changed: () => void }) {
  const { dock } = words.value;
  const saving = useSaving();
  const supplier = supplierName(names, shipment.supplier_id);
  const late = Math.round((Date.parse(today) - Date.parse(shipment.expected_on)) / 86_400_000);
  return (
    <li class="dock-line">
      <Link to={`/dock/shipments/${shipment.id}`} class="dock-line-main">
        <b>{supplier}</b>
        <span class="quiet">
          {dock.expected(format.value.weekday(shipment.expected_on))}
          {shipment.lots > 0 && ` · ${words.value.common.lots(shipment.lots)}`}
        </span>
        {late > 0 && <Tag>{dock.overdue(late)}</Tag>}
      </Link>
      <Writing>
        <Button busy={saving.busy} onClick={() => void saving.run(() => arriveNow(shipment, supplier, changed))}>
          {dock.itIsHere}
        </Button>
      </Writing>
      {saving.problem && <ProblemNotice problem={saving.problem} onReload={changed} />}
    </li>
  );
}

/** A shipment with nothing left to do. */
export function SettledRow({ shipment, names }: Omit<RowProps, 'now'>) {
  const { dock } = words.value;
  return (
    <li class="dock-line">
      <Link to={`/dock/shipments/${shipment.id}`} class="dock-line-main">
        <b>{supplierName(names, shipment.supplier_id)}</b>
        <span class="quiet">
          {dock.arrived(format.value.weekday(shipment.arrived_on))} · {dock.allInspected(shipment.lots)}
        </span>
      </Link>
    </li>
  );
}
