import { useEffect, useRef } from 'preact/hooks';

import type { Daybook } from '../contract.gen';
import { say } from '../parts';
import { words } from '../words';
import { askedHere, isMet, stopInHand } from './ask-line';
import type { Draft } from './draft';
import { heardText } from './heard';
import { enoughText } from './plan-said';
import { usePlanInHand } from './plan-store';
import { namesOf } from './round';

/**
 * Reads aloud what each step did, which plant the plan asks for next, and that it is enough,
 * once; after it is drawn, so that no tap waits for it.
 */
export function useHeard(book: Daybook, houseId: string, draft: Draft): void {
  const hand = usePlanInHand(book, houseId, draft);
  const before = useRef(draft);
  const enough = useRef<string | null>(null);
  useEffect(() => {
    const text = heardText(before.current, draft, namesOf(book));
    const first = before.current === draft;
    before.current = draft;
    const at = hand && draft.purpose !== 'on_purpose' ? stopInHand(hand, draft) : null;
    const met = at && isMet(at) ? enoughText(at.enough) : null;
    const nowMet = met !== enough.current && !first ? met : null;
    enough.current = met;
    const next = text !== null && hand ? askedHere(hand, draft).next : undefined;
    const said = [text, next !== undefined && `${words.peek().walk.plan.nextPlant(next)}.`, nowMet && `${nowMet}.`].filter(Boolean).join(' ');
    if (said !== '') say(said);
  }, [draft]);
}
