import type { Shipment } from '../../contract.gen';
import { format, words } from '../../words';
import { zoneOf } from './site';

/** How long a claim can still be sent, in words; nothing while the shipment is expected. */
export function ClaimClock({ shipment, now }: { shipment: Shipment; now: Date }) {
  const closes = shipment.claim_closes_at;
  if (closes === undefined || closes === null) return null;
  const { dock } = words.value;
  const rest = Date.parse(closes) - now.getTime();
  const span = format.value.span(Math.abs(rest));
  const title = dock.claimClosesAt(format.value.moment(closes, zoneOf(shipment.site_id)));
  return rest > 0 ? (
    <span class="dock-clock" title={title}>
      {dock.claimCloses(span)}
    </span>
  ) : (
    <span class="quiet" title={title}>
      {dock.claimClosed(span)}
    </span>
  );
}
