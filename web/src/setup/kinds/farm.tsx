import { fetchOne, save } from '../../api';
import type { Farm, FarmBody } from '../../contract.gen';
import { TextField } from '../../parts';
import { words } from '../../words';
import type { Kind } from '../record/kind';

export const farm: Kind<FarmBody, Farm> = {
  members: ['supplier_id', 'name', 'country'],
  save: (id, body, version) => save('farms', id, body, version),
  fetch: (id) => fetchOne('farms', id),
  fields: (draft, change) => {
    const { field, hint } = words.value.setup;
    return (
      <div class="form-row">
        <TextField label={field.name} pointer="/name" value={draft.name ?? ''} onValue={(name) => change({ name })} maxLength={200} />
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
    );
  },
  facts: (draft) => {
    const { field } = words.value.setup;
    const { none } = words.value.common;
    return [
      { term: field.name, value: draft.name ?? none },
      { term: field.country, value: draft.country ?? none },
    ];
  },
};
