import { useState } from 'preact/hooks';

import { fetchAll, save } from '../api';
import type { Token } from '../contract.gen';
import { Button, Empty, Loaded, Notice, notify, Tag, useLoad } from '../parts';
import { problemText, toProblem } from '../problem';
import { readsOnly, selectedSite } from '../session';
import { format, words } from '../words';
import { token } from './kinds/token';
import { ReadOnly } from './read-only';
import { bodyOf, draftOf } from './record/kind';
import { Records } from './record/records';

/** The secret of a new token: shown here and nowhere again. */
function Secret({ of, onClose }: { of: Token; onClose: () => void }) {
  const { setup, common } = words.value;
  const { secret } = of;
  if (!secret) {
    return (
      <Notice kind="problem" title={setup.secretLostTitle}>
        <p>{setup.secretLost}</p>
        <Button onClick={onClose}>{common.close}</Button>
      </Notice>
    );
  }
  return (
    <Notice kind="doubt" title={setup.secretTitle(of.name)}>
      <p>{setup.secretLead}</p>
      <code class="secret">{secret}</code>
      <div class="row">
        <Button
          onClick={() => {
            navigator.clipboard.writeText(secret).then(
              () => notify(setup.copied),
              () => notify(setup.notCopied),
            );
          }}
        >
          {setup.copy}
        </Button>
        <Button kind="quiet" onClick={onClose}>
          {setup.secretKept}
        </Button>
      </div>
    </Notice>
  );
}

/** Bearer tokens for programs; each acts with the roles of the person who made it. */
export default function Tokens() {
  const { setup, common } = words.value;
  const [made, setMade] = useState<Token | null>(null);
  const load = useLoad((signal) => fetchAll('tokens', {}, signal), []);
  const zone = selectedSite.value?.time_zone ?? 'UTC';
  const f = format.value;
  const withdraw = (of: Token, withdrawn: boolean): void => {
    save('tokens', of.id, { ...bodyOf(draftOf(token, of)), withdrawn }, of.version).then(
      (stored) => {
        notify(withdrawn ? setup.tokenWithdrawn : common.undone, withdrawn ? { undo: () => withdraw(stored, false) } : {});
        if (made?.id === of.id) setMade(null);
        load.reload();
      },
      (thrown: unknown) => notify(problemText(toProblem(thrown), words.value)),
    );
  };
  return (
    <>
      <ReadOnly unless={!readsOnly()}>{setup.readOnly.tokens}</ReadOnly>
      {made && <Secret of={made} onClose={() => setMade(null)} />}
      <Loaded of={load}>
        {(rows) => (
          <Records
            kind={token}
            rows={rows.toSorted((a, b) => Number(a.withdrawn ?? false) - Number(b.withdrawn ?? false) || b.recorded_at.localeCompare(a.recorded_at))}
            name={(one) => one.name}
            note={(one) => (
              <p>
                {one.withdrawn && <Tag>{setup.withdrawn}</Tag>} {one.purpose === 'calendar' && <Tag>{setup.ofCalendar}</Tag>}{' '}
                {[
                  one.expires_on ? setup.expires(f.fullDate(one.expires_on)) : setup.neverExpires,
                  setup.setBy(one.recorded_by.name, f.moment(one.recorded_at, zone)),
                ].join(' · ')}
              </p>
            )}
            actions={(one) =>
              !one.withdrawn &&
              !readsOnly() && (
                <Button kind="quiet" aria-label={`${setup.withdraw}: ${one.name}`} onClick={() => withdraw(one, true)}>
                  {setup.withdraw}
                </Button>
              )
            }
            mayWrite={!readsOnly()}
            addLabel={setup.add.token}
            onChange={(stored) => {
              if (stored?.version === 1) setMade(stored);
              load.reload();
            }}
            empty={
              <Empty title={setup.empty.tokenTitle}>
                <p>{setup.empty.token}</p>
              </Empty>
            }
          />
        )}
      </Loaded>
    </>
  );
}
