import { outbox } from '../../local/outbox';
import { ButtonLink } from '../../parts';
import { mendAddress } from '../../phone/mending';
import { Refusal } from '../../phone/refusal';
import { words } from '../../words';

interface Props {
  id: string;
  /** This is the page on which it is mended. */
  mending?: boolean;
}

/** That a record, or the last change of it, is only on this phone; and when the server refused it, why and what to do. */
export function OnlyHere({ id, mending = false }: Props) {
  const { phone } = words.value.common;
  const waiting = outbox.value.filter((one) => one.id === id);
  if (waiting.length === 0) return null;
  const refused = waiting.find((one) => one.problem !== null);
  if (!refused) return mending ? null : <p role="status">{phone.thisOnlyHere}</p>;
  const mend = mendAddress(refused);
  return (
    <Refusal record={refused}>
      {!mending && mend !== null && (
        <ButtonLink to={mend} kind="primary">
          {phone.mend}
        </ButtonLink>
      )}
    </Refusal>
  );
}
