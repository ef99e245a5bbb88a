import type { Look } from '../contract.gen';
import type { Waiting } from '../local/db';
import { Button } from '../parts';
import { Refusal } from '../phone/refusal';
import { go } from '../router';
import { session } from '../session';
import { words } from '../words';
import { draftOf } from './draft-body';
import { keepDraft, stepOf } from './draft-store';
import { stopAddress } from './said';

/** That a look, or the last change of it, is only on this phone; and when the server refused it, why and how to mend it. */
export function OnlyHere({ look, waiting }: { look: Look; waiting: readonly Waiting[] }) {
  const { phone } = words.value.common;
  if (waiting.length === 0) return null;
  const refused = waiting.find((one) => one.problem !== null);
  if (!refused) return <p role="status">{phone.thisOnlyHere}</p>;
  const mend = async (): Promise<void> => {
    const draft = { ...draftOf(look, session.peek()?.person.id ?? ''), version: refused.if_match ?? null };
    await keepDraft(draft, stepOf(look.id));
    go(stopAddress(look.block_id, null, look.id));
  };
  return (
    <Refusal record={refused}>
      <Button kind="primary" onClick={() => void mend()}>
        {phone.mend}
      </Button>
    </Refusal>
  );
}
