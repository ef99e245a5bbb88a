import { fetchOne, save } from '../../api';
import type { Account, Section, SectionBody } from '../../contract.gen';
import { SelectField, TextField } from '../../parts';
import { words } from '../../words';
import type { Kind } from '../record/kind';

/** Sections; without accounts to choose from, the person who looks after one stays as it is. */
export function section(people: readonly Account[]): Kind<SectionBody, Section> {
  const grower = (id: string | null | undefined): string => people.find((person) => person.id === id)?.name ?? words.value.common.none;
  return {
    members: ['site_id', 'name', 'grower_id'],
    save: (id, body, version) => save('sections', id, body, version),
    fetch: (id) => fetchOne('sections', id),
    fields: (draft, change) => {
      const { field } = words.value.setup;
      return (
        <div class="form-row">
          <TextField label={field.name} pointer="/name" value={draft.name ?? ''} onValue={(name) => change({ name })} maxLength={200} />
          {people.length > 0 && (
            <SelectField
              label={field.grower}
              pointer="/grower_id"
              optional
              empty={words.value.common.none}
              value={draft.grower_id ?? null}
              onValue={(id) => change({ grower_id: id })}
              options={people.map(({ id, name }) => ({ value: id, label: name }))}
            />
          )}
        </div>
      );
    },
    facts: (draft) => {
      const { field } = words.value.setup;
      return [
        { term: field.name, value: draft.name ?? words.value.common.none },
        { term: field.grower, value: grower(draft.grower_id) },
      ];
    },
  };
}
