import type { Claim, Shipment } from '../../contract.gen';
import { stateOf } from '../claim/clock';
import { claimRuns } from './order';

/** A shipment of which a claim can or should still be sent. */
export interface DueClaim {
  shipment: Shipment;
  /** The draft that waits; null where no claim is written. */
  draft: Claim | null;
  /** Milliseconds left; below zero where the supplier's time is over. */
  left: number;
}

/**
 * The claims that are due, the one that ends first before the others: every shipment whose time
 * runs and of which none was sent, and every draft, also one whose time is over.
 */
export function claimsDue(shipments: readonly Shipment[], claims: readonly Claim[], now: Date): DueClaim[] {
  const standing = claims.filter(({ withdrawn_because }) => !withdrawn_because);
  return shipments
    .filter(({ withdrawn_because, claim_closes_at }) => !withdrawn_because && claim_closes_at)
    .flatMap((shipment): DueClaim[] => {
      const own = standing.filter(({ shipment_id }) => shipment_id === shipment.id);
      const draft = own.find((claim) => stateOf(claim) === 'draft') ?? null;
      if (draft === null && (own.length > 0 || !claimRuns(shipment, now))) return [];
      return [{ shipment, draft, left: Date.parse(shipment.claim_closes_at ?? '') - now.getTime() }];
    })
    .toSorted((a, b) => a.left - b.left || a.shipment.id.localeCompare(b.shipment.id));
}

/** The claims that were sent and not answered, the oldest first. */
export function claimsUnanswered(claims: readonly Claim[]): Claim[] {
  return claims.filter((claim) => stateOf(claim) === 'sent').toSorted((a, b) => Date.parse(a.sent_at ?? '') - Date.parse(b.sent_at ?? ''));
}
