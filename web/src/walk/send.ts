import { signal } from '@preact/signals';

import { fetchOne, save } from '../api';
import type { Look, LookBody } from '../contract.gen';
import { takeIn } from './daybook-store';
import type { Draft } from './draft';
import { bodyOf, bodyOfLook } from './draft-body';
import { forgetDraft } from './draft-store';

/** The look finished last on this page, as long as nothing else was done with it: it may still be undone. */
export const justFinished = signal<{ id: string; version: number } | null>(null);

/** Sends a finished look. It is forgotten here only once the server has answered. Throws ApiProblem. */
export async function sendDraft(draft: Draft): Promise<Look> {
  const look = await save('looks', draft.id, bodyOf(draft), draft.version ?? undefined);
  forgetDraft(draft.id);
  justFinished.value = { id: look.id, version: look.version };
  takeIn(look);
  return look;
}

/**
 * Sends a look over whatever the server has under its id now: an earlier try that got
 * through, or someone's correction. Only when a person said so. Throws ApiProblem.
 */
export async function sendOver(draft: Draft): Promise<Look> {
  const { version } = await fetchOne('looks', draft.id);
  return await sendDraft({ ...draft, version });
}

/** Changes members of a stored look: a new revision. Throws ApiProblem. */
export async function changeLook(look: Look, change: Partial<LookBody>): Promise<Look> {
  const changed = await save('looks', look.id, { ...bodyOfLook(look), ...change }, look.version);
  takeIn(changed);
  return changed;
}
