import { fetchAll } from '../api';
import type { AccountBody } from '../contract.gen';
import { dateAt } from '../local/zone';
import { Loaded, Tag, useLoad } from '../parts';
import { selectedSite, serverNow, sites } from '../session';
import { format, words } from '../words';
import { holds, ownsAll } from './access';
import { account, roleText } from './kinds/account';
import { ReadOnly } from './read-only';
import type { Draft } from './record/kind';
import { Records } from './record/records';

function starting(): Draft<AccountBody> {
  return { language: 'en', roles: [{ role: 'grower', site_id: sites.value[0]?.id ?? null }] };
}

/** Until when an account is, by the day at the site shown. */
function endText(on: string): string {
  const { setup } = words.value;
  const day = format.value.fullDate(on);
  return on < dateAt(serverNow(), selectedSite.value?.time_zone ?? 'UTC') ? setup.endedOn(day) : setup.endsOn(day);
}

function List() {
  const { setup } = words.value;
  const load = useLoad(async (signal) => (await fetchAll('accounts', {}, signal)).toSorted((a, b) => a.name.localeCompare(b.name)), []);
  return (
    <Loaded of={load}>
      {(rows) => (
        <Records
          kind={account(sites.value)}
          rows={rows}
          name={(one) => one.name}
          note={(one) => (
            <>
              <p>
                {one.email} {one.disabled && <Tag>{setup.field.disabled}</Tag>}
              </p>
              <p>
                {one.roles.map((role) => roleText(role, sites.value)).join('; ')}
                {one.ends_on && ` · ${endText(one.ends_on)}`}
              </p>
            </>
          )}
          mayWrite={ownsAll()}
          addLabel={setup.add.account}
          start={starting}
          onChange={load.reload}
          empty={null}
        />
      )}
    </Loaded>
  );
}

/** Who may sign in, and what for. Only owners see the list. */
export default function Accounts() {
  const { setup } = words.value;
  if (!holds('owner')) return <ReadOnly unless={false}>{setup.readOnly.accountsHidden}</ReadOnly>;
  return (
    <>
      <ReadOnly unless={ownsAll()}>{setup.readOnly.accounts}</ReadOnly>
      <List />
    </>
  );
}
