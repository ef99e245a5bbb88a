import { fetchOne, save } from '../../api';
import type { Customer, CustomerBody } from '../../contract.gen';
import { TextArea, TextField } from '../../parts';
import { words } from '../../words';
import type { Kind } from '../record/kind';

export const customer: Kind<CustomerBody, Customer> = {
  members: ['name', 'country', 'note'],
  save: (id, body, version) => save('customers', id, body, version),
  fetch: (id) => fetchOne('customers', id),
  fields: (draft, change) => {
    const { field, hint } = words.value.setup;
    return (
      <>
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
        <TextArea label={field.note} pointer="/note" optional rows={2} maxLength={2000} value={draft.note ?? ''} onValue={(note) => change({ note })} />
      </>
    );
  },
  facts: (draft) => {
    const { field } = words.value.setup;
    const { none } = words.value.common;
    return [
      { term: field.name, value: draft.name ?? none },
      { term: field.country, value: draft.country ?? none },
      { term: field.note, value: draft.note ?? none },
    ];
  },
};
