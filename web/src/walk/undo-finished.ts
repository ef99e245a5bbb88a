import type { Look } from '../contract.gen';
import { notify } from '../parts';
import { problemText, toProblem } from '../problem';
import { words } from '../words';
import { changeLook } from './send';

/** Says that a look was saved, and offers to undo it: it is then withdrawn, not deleted. */
export function undoFinished(look: Look): void {
  const { look: said } = words.value.walk;
  notify(said.saved, {
    undo: () => {
      changeLook(look, { withdrawn_because: said.undoReason }).then(
        () => notify(words.value.walk.look.withdrawn_),
        (thrown: unknown) => notify(problemText(toProblem(thrown), words.value)),
      );
    },
  });
}
