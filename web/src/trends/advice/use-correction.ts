import { useState } from 'preact/hooks';

import { fetchOne, save } from '../../api';
import type { Decision, DecisionBody } from '../../contract.gen';
import { notify } from '../../parts';
import { problemText, toProblem, type ApiProblem } from '../../problem';
import { words } from '../../words';
import { written } from './corrections';

export interface Correction {
  busy: boolean;
  problem: ApiProblem | null;
  /** The decision as someone else left it meanwhile, to be shown before one's own goes on top. */
  theirs: Decision | null;
  /** Saves a change of the newest version known; offers to undo it. */
  send: (change: (decision: Decision) => DecisionBody, said: string) => void;
}

/** Corrects a stored decision. What was typed stays in the form when it does not go through. */
export function useCorrection(decision: Decision, onSaved: () => void): Correction {
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const [theirs, setTheirs] = useState<Decision | null>(null);

  const undo = (before: Decision, version: number): void => {
    save('decisions', before.id, written(before), version).then(
      () => {
        notify(words.value.common.undone);
        onSaved();
      },
      (thrown: unknown) => notify(problemText(toProblem(thrown), words.value)),
    );
  };

  const attempt = async (change: (decision: Decision) => DecisionBody, said: string): Promise<void> => {
    const base = theirs ?? decision;
    setBusy(true);
    try {
      const stored = await save('decisions', base.id, change(base), base.version);
      notify(said, { undo: () => undo(base, stored.version) });
      onSaved();
    } catch (thrown) {
      const failed = toProblem(thrown);
      setProblem(failed);
      if (failed.isStale) setTheirs(await fetchOne('decisions', base.id).catch(() => null));
    } finally {
      setBusy(false);
    }
  };

  return { busy, problem, theirs, send: (change, said) => void attempt(change, said) };
}
