import { signal } from '@preact/signals';

import { save } from '../api';
import type { Daybook, Look, LookBody } from '../contract.gen';
import type { Kept, Waiting } from '../local/db';
import { making } from '../local/making';
import { outbox, putInOutbox, type Making } from '../local/outbox';
import { send } from '../local/sending';
import { heldBook, takeIn } from './daybook-store';
import type { Draft } from './draft';
import { bodyOf, bodyOfLook } from './draft-body';
import { forgetDraft } from './draft-store';
import { namesOf } from './round';
import { lotName } from './said';
import { secondLookOf } from './second-look';

/** The look finished last on this page, as long as nothing else was done with it: it may still be undone. */
export const justFinished = signal<{ id: string; version: number; second: SecondLookMade | null } | null>(null);

/** The second look of a lot that a look was, too. */
type SecondLookMade = NonNullable<ReturnType<typeof secondLookOf>>;

function titleOf(blockId: string, book: Daybook | null): string {
  const block = book?.blocks.find(({ id }) => id === blockId);
  const house = book?.houses.find(({ id }) => id === block?.house_id);
  return [house?.name, block?.name].filter(Boolean).join(' · ');
}

function makingOf(id: string, version: number | null, site_id: string, body: LookBody): Making {
  const book = heldBook(site_id);
  return making({ noun: 'looks', id, if_match: version, body: { ...body }, site_id, title: titleOf(body.block_id, book), daybook: book?.version });
}

function secondMakingOf({ id, body }: SecondLookMade, version: number | null, site_id: string): Making {
  const book = heldBook(site_id);
  const title = book ? lotName(namesOf(book).lot(body.lot_id), namesOf(book)) : '';
  return making({ noun: 'inspections', id, if_match: version, body: { ...body }, site_id, title, daybook: book?.version });
}

function secondOf(draft: Draft): SecondLookMade | null {
  const book = heldBook(draft.site_id);
  return book && secondLookOf(draft, namesOf(book));
}

/**
 * Finishes a look: from then on it is a record in the outbox, and no longer a draft, in one
 * write. It is sent as soon as it can be.
 */
export async function finishDraft(draft: Draft): Promise<Kept> {
  const second = secondOf(draft);
  const look = makingOf(draft.id, draft.version, draft.site_id, bodyOf(draft));
  const kept = await putInOutbox(second ? [look, secondMakingOf(second, null, draft.site_id)] : [look], draft.id);
  if (kept !== 'kept') return kept;
  justFinished.value = { id: draft.id, version: (draft.version ?? 0) + 1, second };
  void send();
  return kept;
}

/** Sends a finished look at once, where this phone keeps nothing. Throws ApiProblem. */
export async function sendUnkept(draft: Draft): Promise<Look> {
  const look = await save('looks', draft.id, bodyOf(draft), draft.version ?? undefined);
  const second = secondOf(draft);
  if (second) await save('inspections', second.id, second.body);
  await forgetDraft(draft.id);
  justFinished.value = { id: look.id, version: look.version, second };
  takeIn(look);
  return look;
}

/** Changes members of a look, also of one that waits: a new revision, by way of the outbox. */
export async function changeLook(look: Look, change: Partial<LookBody>): Promise<Kept> {
  const kept = await putInOutbox([makingOf(look.id, look.version, look.site_id, { ...bodyOfLook(look), ...change })]);
  if (kept === 'kept') void send();
  return kept;
}

/** Withdraws the look finished last, and the second look that it was, too. */
export async function undoFinished(look: Look, withdrawn_because: string): Promise<Kept> {
  const second = justFinished.peek()?.second;
  const records = [makingOf(look.id, look.version, look.site_id, { ...bodyOfLook(look), withdrawn_because })];
  if (second) records.push(secondMakingOf({ ...second, body: { ...second.body, withdrawn_because } }, 1, look.site_id));
  const kept = await putInOutbox(records);
  if (kept === 'kept') void send();
  return kept;
}

/** Settles what is doubtful about a look. The server has to say whether it still is. Throws ApiProblem. */
export async function settleLook(look: Look, change: Partial<LookBody>): Promise<Look> {
  const changed = await save('looks', look.id, { ...bodyOfLook(look), ...change }, look.version);
  takeIn(changed);
  return changed;
}

/** The records of a look that wait on this phone, in order. */
export function waitingFor(id: string): Waiting[] {
  return outbox.value.filter((one) => one.noun === 'looks' && one.id === id);
}
