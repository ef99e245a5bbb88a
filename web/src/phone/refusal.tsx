import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';

import { fetchOne, type Noun } from '../api';
import type { Waiting } from '../local/db';
import { mark, rewrite } from '../local/outbox';
import { send } from '../local/sending';
import { Button, Notice, ProblemNotice } from '../parts';
import { ApiProblem, faultText, problemText, toProblem } from '../problem';
import { words } from '../words';

interface RefusalProps {
  record: Waiting;
  /** What is said above the reason; else that it was not accepted. */
  title?: string;
  /** More ways on, the first ones. */
  children?: ComponentChildren;
}

/** Sends a refused record as it is once more: the reason may be gone, say a lot that is known by now. */
async function again({ seq }: Waiting): Promise<void> {
  await mark(seq, null);
  await send();
}

/**
 * Sends a refused record over whatever the server has under its id now: an earlier try that
 * got through, or someone's correction. Only when a person said so. Throws ApiProblem.
 */
async function over({ seq, noun, id }: Waiting): Promise<void> {
  const { version } = await fetchOne(noun satisfies Noun, id);
  await rewrite(seq, (one) => ({ ...one, if_match: version, problem: null }));
  await send();
}

/** Why the server refused a record, in plain words, and the ways to go on. It stays on this phone until one is taken. */
export function Refusal({ record, title, children }: RefusalProps) {
  const { phone } = words.value.common;
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  if (!record.problem) return null;
  const reason = new ApiProblem(record.problem);
  const taken = reason.isConflict || reason.isStale;
  return (
    <Notice kind="problem" title={title ?? phone.thisRefused}>
      <p>{problemText(reason, words.value)}</p>
      {reason.faults.length > 0 && (
        <ul>
          {reason.faults.map((fault) => (
            <li key={fault.pointer + fault.code}>
              {faultText(fault, words.value)} <code>{fault.pointer}</code>
            </li>
          ))}
        </ul>
      )}
      {taken && <p>{phone.overText}</p>}
      {problem && <ProblemNotice problem={problem} />}
      <div class="row">
        {children}
        {taken && <Button onClick={() => void over(record).catch((thrown: unknown) => setProblem(toProblem(thrown)))}>{phone.over}</Button>}
        {!taken && <Button onClick={() => void again(record)}>{phone.sendAgain}</Button>}
      </div>
    </Notice>
  );
}
