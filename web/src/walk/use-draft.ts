import { useCallback, useRef, useState } from 'preact/hooks';

import { begun, step, type Action, type Draft } from './draft';
import { forgetDraft, keepDraft } from './draft-store';

/** A draft on the page. */
interface DraftInHand {
  draft: Draft;
  /** Takes one step: first kept on this device, then shown. */
  act: (action: Action) => void;
  /** The draft after the last step, also before it was drawn. */
  now: () => Draft;
  /** Sets another draft in its place. */
  replace: (draft: Draft) => void;
  /** This device refuses to keep the draft. */
  unkept: boolean;
}

/** Holds a draft, and keeps every step on this device before the next one is possible. */
export function useDraft(start: () => Draft): DraftInHand {
  const [draft, setDraft] = useState(start);
  const [unkept, setUnkept] = useState(false);
  const latest = useRef(draft);
  const put = useCallback((next: Draft) => {
    if (begun(next) || next.version !== null) setUnkept(!keepDraft(next));
    else forgetDraft(next.id);
    latest.current = next;
    setDraft(next);
  }, []);
  const act = useCallback((action: Action) => {
    const next = step(latest.current, action);
    if (next !== latest.current) put(next);
  }, []);
  const now = useCallback(() => latest.current, []);
  return { draft, act, now, replace: put, unkept };
}
