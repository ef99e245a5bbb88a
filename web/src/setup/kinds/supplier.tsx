import { fetchOne, save } from '../../api';
import type { Supplier, SupplierBody } from '../../contract.gen';
import { NumberField, TextArea, TextField } from '../../parts';
import { words } from '../../words';
import type { Kind } from '../record/kind';

/** Hours for a claim that most suppliers grant; the contract's default. */
export const usualClaimHours = 24;

export const supplier: Kind<SupplierBody, Supplier> = {
  members: ['name', 'country', 'claim_hours', 'note'],
  save: (id, body, version) => save('suppliers', id, body, version),
  fetch: (id) => fetchOne('suppliers', id),
  fields: (draft, change) => {
    const { field, hint } = words.value.setup;
    return (
      <>
        <TextField label={field.name} pointer="/name" value={draft.name ?? ''} onValue={(name) => change({ name })} maxLength={200} />
        <div class="form-row">
          <NumberField
            label={field.claimHours}
            hint={hint.claimHours}
            pointer="/claim_hours"
            unit="h"
            min={1}
            max={720}
            value={draft.claim_hours ?? null}
            onValue={(hours) => change({ claim_hours: hours })}
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
        <TextArea label={field.note} pointer="/note" optional rows={2} maxLength={2000} value={draft.note ?? ''} onValue={(note) => change({ note })} />
      </>
    );
  },
  facts: (draft) => {
    const { setup, common } = words.value;
    return [
      { term: setup.field.name, value: draft.name ?? common.none },
      { term: setup.field.claimHours, value: common.hours(draft.claim_hours ?? usualClaimHours) },
      { term: setup.field.country, value: draft.country ?? common.none },
      { term: setup.field.note, value: draft.note ?? common.none },
    ];
  },
};
