import type { Draft } from './draft';

const prefix = 'benchtrail.walk.draft.';

function asDraft(text: string | null): Draft | null {
  if (text === null) return null;
  try {
    const value: unknown = JSON.parse(text);
    if (typeof value !== 'object' || value === null) return null;
    const draft = value as Partial<Draft>;
    const whole =
      draft.form === 1 && typeof draft.id === 'string' && typeof draft.block_id === 'string' && Array.isArray(draft.plants) && Array.isArray(draft.sought);
    return whole ? (value as Draft) : null;
  } catch {
    return null;
  }
}

/** Keeps a draft on this device. False when the device would not: then a reload loses it. */
export function keepDraft(draft: Draft): boolean {
  try {
    localStorage.setItem(prefix + draft.id, JSON.stringify(draft));
    return true;
  } catch {
    return false;
  }
}

/** The draft of a look, if one is kept. */
export function readDraft(id: string): Draft | null {
  try {
    return asDraft(localStorage.getItem(prefix + id));
  } catch {
    return null;
  }
}

/** Forgets a draft: the server has the look, or the person let it go. */
export function forgetDraft(id: string): void {
  try {
    localStorage.removeItem(prefix + id);
  } catch {
    // nothing was kept
  }
}

/** The drafts a person left on this device, the newest first (ids grow with time). */
export function draftsOf(personId: string): Draft[] {
  const drafts: Draft[] = [];
  try {
    for (let i = 0; i < localStorage.length; i++) {
      const key = localStorage.key(i);
      const draft = key?.startsWith(prefix) ? asDraft(localStorage.getItem(key)) : null;
      if (draft?.person_id === personId) drafts.push(draft);
    }
  } catch {
    // no storage, no drafts
  }
  return drafts.toSorted((a, b) => (a.id < b.id ? 1 : -1));
}
