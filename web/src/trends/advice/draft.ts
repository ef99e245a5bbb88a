import type { Advice, AdviceList, DecisionBody } from '../../contract.gen';
import { uuid7 } from '../../local/uuid7';
import type { ApiProblem } from '../../problem';

/** A decision that is being written. It keeps its id, so that sending it again never makes two of it. */
export interface DecisionDraft {
  id: string;
  choice: DecisionBody['choice'] | null;
  because: string;
  /** What was last sent without being told that it arrived. */
  sent: DecisionBody | null;
}

/** An empty draft. */
export function newDraft(): DecisionDraft {
  return { id: uuid7(), choice: null, because: '', sent: null };
}

/** Whether something was written that would be missed. */
export function isBegun(draft: DecisionDraft): boolean {
  return draft.choice !== null || draft.because.trim() !== '';
}

/** What a draft is sent as; the same again while nothing was changed in it, so that a repeat is known as one. */
export function bodyOf(draft: DecisionDraft, make: () => Pick<DecisionBody, 'house_id' | 'cultivar_id' | 'organism_id' | 'season_id' | 'decided_at' | 'figures'>): DecisionBody | null {
  const { choice, sent } = draft;
  const because = draft.because.trim();
  if (choice === null || because === '') return null;
  if (sent?.choice === choice && sent.because === because) return sent;
  return { ...make(), ...(sent && { decided_at: sent.decided_at }), choice, because };
}

/** Whether an answer means that what was sent was not stored: a refusal, and none that may concern an earlier try (408, 409, 429). */
export function isRefused({ status }: Pick<ApiProblem, 'status'>): boolean {
  return status >= 400 && status < 500 && ![408, 409, 429].includes(status);
}

/** Where a draft is kept until it is saved: one for each person, cultivar, house, pest and season. */
export function draftKey(person: string, { cultivar_id, house_id }: Pick<Advice, 'cultivar_id' | 'house_id'>, list: Pick<AdviceList, 'organism_id' | 'season_id'>): string {
  return ['benchtrail.decision', person, cultivar_id, house_id, list.organism_id, list.season_id].join('.');
}

/** Reads what was kept; null when there is none, or it cannot be read. */
export function keptDraft(key: string): DecisionDraft | null {
  try {
    const draft = JSON.parse(localStorage.getItem(key) ?? 'null') as Partial<DecisionDraft> | null;
    if (typeof draft?.id !== 'string' || typeof draft.because !== 'string') return null;
    return { id: draft.id, choice: draft.choice ?? null, because: draft.because, sent: draft.sent ?? null };
  } catch {
    return null; // no storage, or not ours: begin anew
  }
}

/** Keeps a draft on this device; null forgets it. */
export function keepDraft(key: string, draft: DecisionDraft | null): void {
  try {
    if (draft === null) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify(draft));
  } catch {
    // it lasts as long as the page
  }
}
