import type { Claim, ClaimBody, Shipment } from '../../contract.gen';
import { madeMoment } from '../../local/clock';
import type { Waiting } from '../../local/db';

/** The claims with records of them that wait or were just sent, as if the server had answered with them. One that it has already is not put in again. */
export function withWaiting(claims: readonly Claim[], waiting: readonly Waiting[], shipments: readonly Shipment[]): Claim[] {
  const all = new Map(claims.map((claim) => [claim.id, claim]));
  for (const { noun, id, if_match, body, made, made_at, person_id, person_name } of waiting) {
    if (noun !== 'claims') continue;
    const said = body as ClaimBody; // put there by these pages
    const shipment = shipments.find((one) => one.id === said.shipment_id);
    if (!shipment || (all.get(id)?.version ?? 0) > (if_match ?? 0)) continue;
    const closes = shipment.claim_closes_at;
    all.set(id, {
      ...said,
      id,
      version: (if_match ?? 0) + 1,
      recorded_at: madeMoment({ made_at, ...(made && { made }) }),
      recorded_by: { id: person_id, name: person_name },
      site_id: shipment.site_id,
      ...(closes && { closes_at: closes, ...(said.sent_at && { in_time: Date.parse(said.sent_at) <= Date.parse(closes) }) }),
    });
  }
  return [...all.values()];
}
