import { useEffect, useRef } from 'preact/hooks';

import { Button, Notice } from '../parts';
import { faultText, problemText, type ApiProblem } from '../problem';
import { words } from '../words';

interface NotSentProps {
  problem: ApiProblem;
  sending: boolean;
  /** The same look under the same id. */
  onAgain: () => void;
  /** Over what the server has under this id. */
  onOver: () => void;
}

/** Why a finished look is not with the server, and how to go on. Nothing marked is lost. Comes into view by itself. */
export function NotSent(props: NotSentProps) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => place.current?.scrollIntoView({ block: 'center' }), [props.problem]);
  return (
    <div ref={place}>
      <Reason {...props} />
    </div>
  );
}

function Reason({ problem, sending, onAgain, onOver }: NotSentProps) {
  const { mark } = words.value.walk;
  if (problem.isConflict || problem.isStale) {
    return (
      <Notice kind="problem" title={mark.alreadyThere}>
        <p>{mark.alreadyThereText}</p>
        <Button kind="primary" busy={sending} onClick={onOver}>
          {mark.sendOver}
        </Button>
      </Notice>
    );
  }
  const refused = problem.status >= 400 && problem.status < 500 && problem.status !== 401 && problem.status !== 429;
  return (
    <Notice kind="problem" title={refused ? mark.refused : mark.failed}>
      {problem.code !== 'network' && problem.status !== 401 && <p>{problemText(problem, words.value)}</p>}
      {problem.faults.length > 0 && (
        <ul>
          {problem.faults.map((fault) => (
            <li key={fault.pointer + fault.code}>
              {faultText(fault, words.value)} <code>{fault.pointer}</code>
            </li>
          ))}
        </ul>
      )}
      <p>{mark.failedText}</p>
      <Button kind="primary" busy={sending} onClick={onAgain}>
        {mark.sendAgain}
      </Button>
    </Notice>
  );
}
