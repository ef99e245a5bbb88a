import type { Claim, ClaimBody, ClaimItem } from '../../contract.gen';
import { uuid7 } from '../../local/uuid7';
import { Drafts, rowKey } from '../shared/drafts';

/** What can be wrong with a shipment, in the order people look for it. */
export const faultKinds = [
  'short',
  'substituted',
  'dead',
  'wilted',
  'rotten',
  'damaged',
  'pest',
  'disease',
  'too_warm',
  'too_cold',
  'late',
  'other',
] as const satisfies readonly ClaimItem['what'][];

export type FaultKind = ClaimItem['what'];

/** One line of a claim as it is being typed. */
export interface ItemDraft {
  key: string;
  /** Null for the shipment as a whole. */
  lotId: string | null;
  what: FaultKind | null;
  plants: number | null;
  note: string;
}

/** A claim as it is being typed. */
export interface ClaimDraft {
  id: string;
  shipmentId: string;
  items: ItemDraft[];
  text: string;
}

export const claimDrafts = new Drafts<ClaimDraft>('claim');

export function newClaimDraft(shipmentId: string): ClaimDraft {
  return { id: uuid7(), shipmentId, items: [], text: '' };
}

export function draftOfClaim(claim: Claim): ClaimDraft {
  return {
    id: claim.id,
    shipmentId: claim.shipment_id,
    items: (claim.items ?? []).map(({ lot_id, what, plants, note }) => ({ key: rowKey(), lotId: lot_id ?? null, what, plants: plants || null, note: note ?? '' })),
    text: claim.text ?? '',
  };
}

export const isBlankItem = ({ lotId, what, plants, note }: ItemDraft): boolean => lotId === null && what === null && plants === null && note.trim() === '';

/** The pointers of what must be filled in and is not: a claim of nothing is none. */
export function missingInClaim({ items, text }: ClaimDraft): string[] {
  const said = items.filter((item) => !isBlankItem(item));
  if (said.length === 0 && text.trim() === '') return ['/text'];
  return said.flatMap(({ what }, i) => (what === null ? [`/items/${i}/what`] : []));
}

/** A line with its empty members left out: left out and empty mean the same. */
function itemOf({ lot_id, what, plants, note }: ClaimItem): ClaimItem {
  return { ...(lot_id && { lot_id }), what, ...(plants && { plants }), ...(note && { note }) };
}

/** The claim as it stands, as it is sent again with a change. */
export function claimBody({ shipment_id, items, text, sent_at, sent_by, answered_at, answer, credit, withdrawn_because }: ClaimBody): ClaimBody {
  return {
    shipment_id,
    items: (items ?? []).map(itemOf),
    ...(text && { text }),
    ...(sent_at && { sent_at }),
    ...(sent_by && { sent_by }),
    ...(answered_at && { answered_at }),
    ...(answer && { answer }),
    ...(credit && { credit: { amount: credit.amount, currency: credit.currency } }),
    ...(withdrawn_because && { withdrawn_because }),
  };
}

/** What is sent of a draft; of a stored claim the rest stays as it was. Rows in which nothing was typed are left out. */
export function claimBodyOf(draft: ClaimDraft, stored?: Claim): ClaimBody {
  const items = draft.items
    .filter((item) => !isBlankItem(item))
    .map(({ lotId, what, plants, note }) => ({ lot_id: lotId, what: what ?? 'other', plants: plants ?? 0, note: note.trim() }));
  return claimBody({ ...(stored && claimBody(stored)), shipment_id: draft.shipmentId, items, text: draft.text.trim() });
}
