import { save } from '../../../api';
import type { Hold, HoldBody, Movement } from '../../../contract.gen';
import { notify } from '../../../parts';
import { faultText, problemText, toProblem } from '../../../problem';
import { words } from '../../../words';
import { movementBody } from '../../shared/bodies';

/** Withdraws a movement, or puts it back; it is kept either way. */
export async function setWithdrawn(movement: Movement, because: string | null): Promise<Movement> {
  return await save('movements', movement.id, { ...movementBody(movement), withdrawn_because: because }, movement.version);
}

/** What is sent to store the hold as it stands. */
export function holdBody({ scope, scope_id, kind, from_at, to_at, reason, paper_number, withdrawn_because }: Hold): HoldBody {
  return {
    scope,
    scope_id,
    kind,
    from_at,
    reason,
    ...(to_at && { to_at }),
    ...(paper_number && { paper_number }),
    ...(withdrawn_because && { withdrawn_because }),
  };
}

/** Says what was done and offers to undo it; what cannot be undone says why. */
export function notifyWithUndo(text: string, takeBack: () => Promise<unknown>, changed: () => void): void {
  const undo = async (): Promise<void> => {
    try {
      await takeBack();
      notify(words.value.dock.action.undone);
      changed();
    } catch (thrown) {
      const problem = toProblem(thrown);
      notify([problemText(problem, words.value), ...new Set(problem.faults.map((fault) => faultText(fault, words.value)))].join(' '));
    }
  };
  notify(text, { undo: () => void undo() });
}
