import { fetchOne, save } from '../../api';
import type { Site, SiteBody } from '../../contract.gen';
import { TextField } from '../../parts';
import { words } from '../../words';
import type { Kind } from '../record/kind';
import { RoundRulesFields, rulesFacts } from '../round-rules';

const zones = typeof Intl.supportedValuesOf === 'function' ? Intl.supportedValuesOf('timeZone') : [];

/** The time zone of this device, to begin with. */
export function zoneHere(): string {
  return Intl.DateTimeFormat().resolvedOptions().timeZone;
}

export const site: Kind<SiteBody, Site> = {
  members: ['name', 'time_zone', 'country', 'round_rules'],
  save: (id, body, version) => save('sites', id, body, version),
  fetch: (id) => fetchOne('sites', id),
  fields: (draft, change) => {
    const { field, hint } = words.value.setup;
    return (
      <>
        <TextField label={field.name} pointer="/name" value={draft.name ?? ''} onValue={(name) => change({ name })} maxLength={200} />
        <div class="form-row">
          <TextField
            label={field.timeZone}
            hint={hint.timeZone}
            pointer="/time_zone"
            value={draft.time_zone ?? ''}
            onValue={(zone) => change({ time_zone: zone })}
            list="setup-zones"
          />
          <TextField
            label={field.country}
            hint={hint.country}
            pointer="/country"
            optional
            value={draft.country ?? ''}
            onValue={(country) => change({ country: country.toUpperCase() })}
            maxLength={2}
          />
        </div>
        <datalist id="setup-zones">
          {zones.map((zone) => (
            <option key={zone} value={zone} />
          ))}
        </datalist>
        <RoundRulesFields rules={draft.round_rules ?? {}} onRules={(round_rules) => change({ round_rules })} />
      </>
    );
  },
  facts: (draft) => {
    const { field } = words.value.setup;
    const { none } = words.value.common;
    return [
      { term: field.name, value: draft.name ?? none },
      { term: field.timeZone, value: draft.time_zone ?? none },
      { term: field.country, value: draft.country ?? none },
      ...rulesFacts(draft.round_rules),
    ];
  },
};
