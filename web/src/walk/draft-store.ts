import { begunBy, begunOf, forgetBegun, holdBegun, keepBegun } from '../local/begun';
import type { Kept } from '../local/db';
import { newDraft, type Draft } from './draft';

const kind = 'look';

/** A draft as it was kept, with what was added to drafts since then. */
function asDraft(value: unknown): Draft | null {
  if (typeof value !== 'object' || value === null) return null;
  const draft = value as Partial<Draft>;
  const whole =
    draft.form === 1 && typeof draft.id === 'string' && typeof draft.block_id === 'string' && Array.isArray(draft.plants) && Array.isArray(draft.sought);
  if (!whole) return null;
  const { id = '', site_id = '', block_id = '', person_id = '' } = draft;
  return { ...newDraft({ id, site_id, block_id, person_id }), ...draft };
}

/** Keeps a draft on this phone. Answers once it is on disk, or why it is not. `step` is that of the draft as this tab knows it. */
export async function keepDraft(draft: Draft, step: number | null): Promise<Kept> {
  return await keepBegun({ id: draft.id, kind, person_id: draft.person_id, value: draft }, step);
}

/** Holds a draft that the phone does not keep: it lasts as long as the page. */
export function holdDraft(draft: Draft): void {
  holdBegun({ id: draft.id, kind, person_id: draft.person_id, value: draft });
}

/** The draft of a look, if one is kept. */
export function readDraft(id: string): Draft | null {
  return asDraft(begunOf(id)?.value);
}

/** How often a draft was written down; null where it is not on this phone. */
export function stepOf(id: string): number | null {
  return begunOf(id)?.step ?? null;
}

/** Forgets a draft that a person let go. */
export async function forgetDraft(id: string): Promise<void> {
  await forgetBegun(id);
}

/** The drafts a person left on this phone, the newest first. */
export function draftsOf(personId: string): Draft[] {
  return begunBy(personId, kind).flatMap(({ value }) => asDraft(value) ?? []);
}
