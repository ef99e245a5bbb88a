import { keepBegun } from './begun';

/** Where looks in the making were kept before there was a database on the phone (layout 0). */
const prefix = 'benchtrail.walk.draft.';

function oldDrafts(): { key: string; value: unknown; id: string; person_id: string }[] {
  const found = [];
  for (let i = 0; i < localStorage.length; i++) {
    const key = localStorage.key(i);
    if (key?.startsWith(prefix) !== true) continue;
    try {
      const value: unknown = JSON.parse(localStorage.getItem(key) ?? '');
      if (typeof value !== 'object' || value === null || !('id' in value) || !('person_id' in value)) continue;
      if (typeof value.id === 'string' && typeof value.person_id === 'string') found.push({ key, value, id: value.id, person_id: value.person_id });
    } catch {
      // not one of ours
    }
  }
  return found;
}

/** Brings over what an earlier version of the pages left. Each leaves its old place only once it is on disk in the new one. */
export async function takeInOldDrafts(): Promise<void> {
  try {
    for (const { key, value, id, person_id } of oldDrafts()) {
      const kept = await keepBegun({ id, kind: 'look', person_id, value }, null);
      // 'elsewhere': an earlier try brought it over, and was broken off before this.
      if (kept === 'kept' || kept === 'elsewhere') localStorage.removeItem(key);
    }
  } catch {
    // no storage, no drafts
  }
}
