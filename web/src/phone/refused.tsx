import type { Waiting } from '../local/db';
import { putBack, takeOut } from '../local/outbox';
import { Button, ButtonLink, notify } from '../parts';
import { words } from '../words';
import { RecordLine } from '.';
import { mendAddress } from './mending';
import { Refusal } from './refusal';

/** One refused record with its reason, and the ways on: mend, send again, send over, let go. */
export function RefusedRecord({ record }: { record: Waiting }) {
  const { phone, common } = words.value;
  const mend = mendAddress(record);
  const letGo = async (): Promise<void> => {
    if ((await takeOut([record.seq])) === 'kept') notify(phone.letGone, { undo: () => void putBack([record]) });
  };
  return (
    <div class="phone-refused">
      <Refusal record={record} title={record.title || phone.untitled}>
        {mend !== null && (
          <ButtonLink to={mend} kind="primary">
            {common.phone.mend}
          </ButtonLink>
        )}
      </Refusal>
      <p>
        <RecordLine record={record} />
      </p>
      <Button kind="quiet" onClick={() => void letGo()}>
        {phone.letGo}
      </Button>
    </div>
  );
}
