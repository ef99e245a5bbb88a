import type { Hold, HoldBody, Movement, MovementBody, MovementKind } from '../../../contract.gen';
import { notify } from '../../../parts';
import { faultText, problemText, toProblem } from '../../../problem';
import { words } from '../../../words';
import { movementBody } from '../../shared/bodies';
import { ask } from '../../shared/saving';

/** A movement as it was saved. */
export interface Moved {
  id: string;
  version: number;
  body: MovementBody;
}

/** What a person calls a movement: what was done, and with which lot. */
export function movementTitle(kind: MovementKind, lot: string): string {
  return `${words.value.dock.lot.kind[kind]}: ${lot}`;
}

/** Withdraws a movement, or puts it back; it is kept either way. */
export async function setWithdrawn(movement: Movement, because: string | null, lot: string): Promise<void> {
  await withdrawMoved({ id: movement.id, version: movement.version, body: movementBody(movement) }, because, lot);
}

/** The same for one that was just saved. */
export async function withdrawMoved({ id, version, body }: Moved, because: string | null, lot: string): Promise<void> {
  await ask('movements', id, { ...body, withdrawn_because: because }, version, movementTitle(body.kind, lot));
}

/** A hold: what is sent to undo what was just saved, over the version it has now. */
export interface HeldNow {
  id: string;
  version: number;
  body: HoldBody;
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
