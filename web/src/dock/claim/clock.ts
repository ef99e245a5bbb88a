import type { Claim, Shipment } from '../../contract.gen';
import type { Format, Words } from '../../words';

/** Where a claim stands. */
export type ClaimState = 'draft' | 'sent' | 'answered' | 'withdrawn';

export function stateOf({ withdrawn_because, answered_at, sent_at }: Claim): ClaimState {
  if (withdrawn_because) return 'withdrawn';
  if (answered_at) return 'answered';
  return sent_at ? 'sent' : 'draft';
}

/** Of a shipment's claims, latest first, the one that counts: the latest that stands. */
export function standingClaim(claims: readonly Claim[]): Claim | null {
  return claims.find(({ withdrawn_because }) => !withdrawn_because) ?? null;
}

interface Speech {
  words: Words;
  f: Format;
  zone: string;
  now: Date;
  /** The supplier's hours for a claim. */
  hours: number;
}

/** What the clock says of a claim, or of one that nobody has written yet; figures stand between `**`. */
export function clockSentence(shipment: Shipment, claim: Claim | null, { words, f, zone, now, hours }: Speech): string {
  const said = words.dock.claim.clock;
  const closes = shipment.claim_closes_at;
  const sent = claim && !claim.withdrawn_because ? claim.sent_at : null;
  if (!closes || !shipment.docked_at) return sent ? said.sent(f.moment(sent, zone)) : said.notHere;
  const end = f.moment(closes, zone);
  if (sent) {
    const rest = Date.parse(closes) - Date.parse(sent);
    return rest >= 0 ? said.sentInTime(f.moment(sent, zone), f.span(rest), end) : said.sentLate(f.moment(sent, zone), f.span(-rest), end);
  }
  const rest = Date.parse(closes) - now.getTime();
  if (rest <= 0) return said.late(f.span(-rest), end);
  return said.left(f.span(rest), end, words.common.hours(hours), f.moment(shipment.docked_at, zone));
}
