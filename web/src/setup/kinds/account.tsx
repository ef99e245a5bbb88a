import { fetchOne, save } from '../../api';
import type { Account, AccountBody, Role, Site, SiteRole } from '../../contract.gen';
import { Button, CheckField, ChoiceField, DateField, SelectField, TextField, useFault } from '../../parts';
import { format, words } from '../../words';
import type { Draft, Kind } from '../record/kind';

const roles = ['receiver', 'grower', 'owner', 'reader'] as const satisfies readonly Role[];
const everySite = 'every';

/** A role with its place: "grower at Northfield". */
export function roleText({ role, site_id: at }: SiteRole, sites: readonly Site[]): string {
  const { setup, common } = words.value;
  return setup.roleAt(common.role[role], at ? (sites.find(({ id }) => id === at)?.name ?? common.unknown) : setup.everySite);
}

function RolesFault() {
  const fault = useFault('/roles');
  return <p class="field-fault">{fault}</p>;
}

function Roles({ draft, change, sites }: { draft: Draft<AccountBody>; change: (part: Draft<AccountBody>) => void; sites: readonly Site[] }) {
  const { setup, common } = words.value;
  const rows = draft.roles ?? [];
  const set = (i: number, part: Partial<SiteRole>): void => change({ roles: rows.map((row, at) => (at === i ? { ...row, ...part } : row)) });
  return (
    <fieldset class="rows">
      <legend>{setup.roles}</legend>
      <p class="field-hint">{setup.hint.roles}</p>
      {rows.map((row, i) => (
        <div key={i} class="rows-row">
          <SelectField
            label={setup.field.role}
            pointer={`/roles/${i}/role`}
            value={row.role}
            onValue={(role) => role && set(i, { role, ...(role !== 'owner' && !row.site_id && { site_id: sites[0]?.id ?? null }) })}
            options={roles.map((value) => ({ value, label: common.role[value] }))}
          />
          <SelectField
            label={setup.field.site}
            pointer={`/roles/${i}/site_id`}
            value={row.site_id ?? everySite}
            onValue={(value) => set(i, { site_id: value === everySite ? null : value })}
            options={[
              { value: everySite, label: setup.everySite, disabled: row.role !== 'owner' },
              ...sites.map(({ id, name }) => ({ value: id, label: name })),
            ]}
          />
          <Button
            kind="quiet"
            aria-label={setup.removeRole(roleText(row, sites))}
            disabled={rows.length === 1}
            onClick={() => change({ roles: rows.filter((_, at) => at !== i) })}
          >
            {setup.remove}
          </Button>
        </div>
      ))}
      <RolesFault />
      <Button onClick={() => change({ roles: [...rows, { role: rows.at(-1)?.role ?? 'grower', site_id: sites[0]?.id ?? null }] })}>{setup.addRole}</Button>
    </fieldset>
  );
}

/** Accounts with roles at these sites. */
export function account(sites: readonly Site[]): Kind<AccountBody, Account> {
  return {
    members: ['email', 'name', 'language', 'roles', 'disabled', 'ends_on'],
    save: (id, body, version) => save('accounts', id, body, version),
    fetch: (id) => fetchOne('accounts', id),
    withdrawal: { disabled: true },
    fields: (draft, change, isNew) => {
      const { setup } = words.value;
      return (
        <>
          <div class="form-row">
            <TextField label={setup.field.personName} pointer="/name" value={draft.name ?? ''} onValue={(name) => change({ name })} maxLength={120} />
            <TextField
              label={setup.field.email}
              pointer="/email"
              type="email"
              autocomplete="off"
              value={draft.email ?? ''}
              onValue={(email) => change({ email })}
              maxLength={254}
            />
          </div>
          <div class="form-row">
            <TextField
              label={isNew ? setup.field.password : setup.field.newPassword}
              hint={isNew ? setup.hint.password : setup.hint.newPassword}
              pointer="/password"
              type="password"
              autocomplete="new-password"
              optional={!isNew}
              value={draft.password ?? ''}
              onValue={(password) => change({ password })}
            />
            <ChoiceField
              label={setup.field.language}
              pointer="/language"
              value={draft.language ?? 'en'}
              onValue={(language) => change({ language })}
              options={[
                { value: 'en', label: 'English' },
                { value: 'es', label: 'Español' },
              ]}
            />
          </div>
          <Roles draft={draft} change={change} sites={sites} />
          <DateField
            label={setup.field.lastDay}
            hint={setup.hint.lastDay}
            pointer="/ends_on"
            optional
            value={draft.ends_on ?? null}
            onValue={(on) => change({ ends_on: on })}
          />
          {!isNew && (
            <CheckField
              label={setup.field.disabled}
              hint={setup.hint.disabled}
              checked={draft.disabled ?? false}
              onChecked={(disabled) => change({ disabled })}
            />
          )}
        </>
      );
    },
    facts: (draft) => {
      const { setup, common } = words.value;
      return [
        { term: setup.field.personName, value: draft.name ?? common.none },
        { term: setup.field.email, value: draft.email ?? common.none },
        { term: setup.field.language, value: draft.language === 'es' ? 'Español' : 'English' },
        { term: setup.roles, value: (draft.roles ?? []).map((role) => roleText(role, sites)).join('; ') },
        { term: setup.field.lastDay, value: draft.ends_on ? format.value.fullDate(draft.ends_on) : setup.never },
        { term: setup.field.disabled, value: draft.disabled ? common.yes : common.no },
        ...(draft.password ? [{ term: setup.field.newPassword, value: '••••' }] : []),
      ];
    },
  };
}
