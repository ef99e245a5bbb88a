import { useCallback, useRef, useState } from 'preact/hooks';

import type { Kept } from '../local/db';
import { begun, step, type Action, type Draft } from './draft';
import { forgetDraft, holdDraft, keepDraft, stepOf } from './draft-store';
import { photosOf } from './plant-photos';
import { withTime } from './spent';

/** Why marks are not kept on this phone. */
export type Trouble = Exclude<Kept, 'kept'>;

/** A draft on the page. */
interface DraftInHand {
  draft: Draft;
  /** Takes one step: first kept on this phone, then shown. Resolves when it is shown, or known not to be kept: with whether it is on disk. */
  act: (action: Action) => Promise<boolean>;
  /** The draft after the last step that is kept, also before it was drawn. */
  now: () => Draft;
  /** Sets another draft in its place. */
  replace: (draft: Draft) => Promise<boolean>;
  /** Resolves when every step taken so far is kept, or known not to be. */
  rest: () => Promise<unknown>;
  /** Why the last step was not kept; null when it was. */
  trouble: Trouble | null;
}

/**
 * Holds a draft and keeps every step on this phone before it is shown: a count that one sees is
 * on disk. Steps tapped while one is being written wait for it and are taken in order.
 */
export function useDraft(start: () => Draft): DraftInHand {
  const [draft, setDraft] = useState(start);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const latest = useRef(draft);
  const known = useRef(stepOf(draft.id));
  const queue = useRef<Promise<boolean>>(Promise.resolve(true));

  const put = useCallback(async (next: Draft): Promise<boolean> => {
    const kept = await keep(next, latest.current.id === next.id ? known.current : stepOf(next.id));
    setTrouble(kept === 'kept' ? null : kept);
    if (kept === 'full' || kept === 'elsewhere') return false; // not kept, so not shown: it can be tapped again
    if (kept === 'unkept') holdDraft(next);
    known.current = stepOf(next.id);
    latest.current = next;
    setDraft(next);
    return kept === 'kept';
  }, []);
  const inTurn = useCallback((next: () => Draft | null): Promise<boolean> => {
    queue.current = queue.current.then(async () => {
      const wanted = next();
      return wanted !== null && (await put(wanted));
    });
    return queue.current;
  }, []);
  const tapped = useRef(Date.now()); // opening the block was a tap, too
  const act = useCallback((action: Action) => {
    const before = tapped.current;
    const at = (tapped.current = Date.now());
    return inTurn(() => {
      const next = step(latest.current, action);
      return next === latest.current ? null : withTime(next, before, at);
    });
  }, []);
  const replace = useCallback((next: Draft) => inTurn(() => next), []);
  const rest = useCallback(() => queue.current, []);
  const now = useCallback(() => latest.current, []);
  return { draft, act, now, replace, rest, trouble };
}

/** Writes a draft down; one in which nothing is marked is not worth a place. */
async function keep(draft: Draft, known: number | null): Promise<Kept> {
  if (begun(draft) || draft.version !== null || photosOf(draft.id).length > 0) return await keepDraft(draft, known);
  if (known !== null) await forgetDraft(draft.id);
  return 'kept';
}
