import { useEffect, useRef } from 'preact/hooks';

import { CheckField, Notice } from '../../../parts';
import { faultText, type ApiProblem } from '../../../problem';
import { words } from '../../../words';

/** Whether a save was refused because the plants are held, and for that alone. */
export function refusedAsHeld(problem: ApiProblem | null): boolean {
  return problem !== null && problem.faults.length > 0 && problem.faults.every(({ code }) => code === 'held');
}

interface Props {
  problem: ApiProblem | null;
  althoughHeld: boolean;
  onAlthoughHeld: (althoughHeld: boolean) => void;
}

/** Explains that the plants are held, and offers to say that it was done all the same. */
export function Held({ problem, althoughHeld, onAlthoughHeld }: Props) {
  const said = words.value.dock.action;
  const notice = useRef<HTMLDivElement>(null);
  const refused = refusedAsHeld(problem);
  useEffect(() => {
    if (refused) notice.current?.focus();
  }, [problem]);
  if (!refused && !althoughHeld) return null;
  return (
    <div ref={notice} tabIndex={-1} role="alert" class="form-problem">
      <Notice kind="doubt" title={said.heldTitle}>
        {refused && problem?.faults.map((fault) => <p key={fault.detail}>{faultText(fault, words.value)}</p>)}
        <p>{said.heldMeans}</p>
        <CheckField label={said.doneAllTheSame} checked={althoughHeld} onChecked={onAlthoughHeld} />
      </Notice>
    </div>
  );
}
