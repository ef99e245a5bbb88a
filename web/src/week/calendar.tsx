import { useState } from 'preact/hooks';

import { fetchAll, save } from '../api';
import type { Token } from '../contract.gen';
import { uuid7 } from '../local/uuid7';
import { Button, Loaded, Notice, notify, useLoad } from '../parts';
import { problemText, toProblem } from '../problem';
import { readsOnly } from '../session';
import { More } from '../trends/more';
import { zoneOf } from '../trends/names';
import { format, words } from '../words';

/** A new address: shown here and nowhere again. */
function Address({ secret }: { secret: string }) {
  const { week: say } = words.value;
  const address = `${location.origin}/api/v1/calendar?token=${secret}`;
  const copy = (): void => {
    navigator.clipboard.writeText(address).then(
      () => notify(say.calendar.copied),
      () => notify(say.calendar.notCopied),
    );
  };
  return (
    <Notice kind="doubt" title={say.calendar.addressTitle}>
      <p>{say.calendar.addressLead}</p>
      <code class="week-address">{address}</code>
      <Button onClick={copy}>{say.calendar.copy}</Button>
    </Notice>
  );
}

function Calendars({ site, name }: { site: string; name: string }) {
  const { week: say, common } = words.value;
  const [made, setMade] = useState<Token | null>(null);
  const [busy, setBusy] = useState(false);
  const load = useLoad((signal) => fetchAll('tokens', {}, signal), [site]);
  const failed = (thrown: unknown): void => notify(problemText(toProblem(thrown), words.value));
  const make = (): void => {
    setBusy(true);
    save('tokens', uuid7(), { name: say.calendar.name(name), purpose: 'calendar', site_id: site })
      .then((stored) => {
        setMade(stored);
        load.reload();
      }, failed)
      .finally(() => setBusy(false));
  };
  const withdraw = (of: Token, withdrawn: boolean): void => {
    save('tokens', of.id, { name: of.name, purpose: 'calendar', site_id: site, withdrawn }, of.version).then((stored) => {
      notify(withdrawn ? say.calendar.withdrawn : common.undone, withdrawn ? { undo: () => withdraw(stored, false) } : {});
      if (made?.id === of.id) setMade(null);
      load.reload();
    }, failed);
  };
  return (
    <div class="week-calendars">
      <p>{say.calendar.lead}</p>
      <Loaded of={load}>
        {(tokens) => {
          const own = tokens.filter(({ purpose, site_id, withdrawn }) => purpose === 'calendar' && site_id === site && !withdrawn);
          if (own.length === 0) return null;
          return (
            <ul>
              {own.map((token) => {
                const since = say.calendar.since(format.value.moment(token.recorded_at, zoneOf(site)));
                return (
                  <li key={token.id}>
                    {token.name}, {since}{' '}
                    <Button kind="quiet" aria-label={`${say.calendar.withdraw}: ${token.name}, ${since}`} onClick={() => withdraw(token, true)}>
                      {say.calendar.withdraw}
                    </Button>
                  </li>
                );
              })}
            </ul>
          );
        }}
      </Loaded>
      {made?.secret && <Address secret={made.secret} />}
      <div>
        <Button busy={busy} onClick={make}>
          {say.calendar.make}
        </Button>
      </div>
    </div>
  );
}

/** What is due, in a person's own calendar: an address of one's own that can be withdrawn. */
export function CalendarPart({ site, name }: { site: string; name: string }) {
  if (readsOnly()) return null; // an address is a token, which readers do not make
  return <More class="week-own" summary={words.value.week.calendar.title}>{() => <Calendars site={site} name={name} />}</More>;
}
