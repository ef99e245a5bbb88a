import { fetchOne, save } from '../../api';
import type { Token, TokenBody } from '../../contract.gen';
import { DateField, TextField } from '../../parts';
import { format, words } from '../../words';
import type { Kind } from '../record/kind';

export const token: Kind<TokenBody, Token> = {
  members: ['name', 'expires_on', 'withdrawn'],
  save: (id, body, version) => save('tokens', id, body, version),
  fetch: (id) => fetchOne('tokens', id),
  withdrawal: { withdrawn: true },
  fields: (draft, change) => {
    const { field, hint } = words.value.setup;
    return (
      <div class="form-row">
        <TextField
          label={field.tokenName}
          hint={hint.tokenName}
          pointer="/name"
          value={draft.name ?? ''}
          onValue={(name) => change({ name })}
          maxLength={120}
        />
        <DateField
          label={field.expiresOn}
          hint={hint.expiresOn}
          pointer="/expires_on"
          optional
          value={draft.expires_on ?? null}
          onValue={(on) => change({ expires_on: on })}
        />
      </div>
    );
  },
  facts: (draft) => {
    const { setup, common } = words.value;
    return [
      { term: setup.field.tokenName, value: draft.name ?? common.none },
      { term: setup.field.expiresOn, value: draft.expires_on ? format.value.fullDate(draft.expires_on) : setup.never },
      { term: setup.withdrawn, value: draft.withdrawn ? common.yes : common.no },
    ];
  },
};
