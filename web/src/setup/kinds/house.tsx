import { fetchOne, save } from '../../api';
import type { House, HouseBody } from '../../contract.gen';
import { NumberField, TextField } from '../../parts';
import { format, words } from '../../words';
import type { Kind } from '../record/kind';

export const house: Kind<HouseBody, House> = {
  members: ['site_id', 'name', 'area_m2'],
  save: (id, body, version) => save('houses', id, body, version),
  fetch: (id) => fetchOne('houses', id),
  fields: (draft, change) => {
    const { field } = words.value.setup;
    return (
      <div class="form-row">
        <TextField label={field.name} pointer="/name" value={draft.name ?? ''} onValue={(name) => change({ name })} maxLength={200} />
        <NumberField
          label={field.area}
          pointer="/area_m2"
          optional
          unit="m²"
          decimals={1}
          min={0}
          value={draft.area_m2 ?? null}
          onValue={(area) => change({ area_m2: area })}
        />
      </div>
    );
  },
  facts: (draft) => {
    const { field } = words.value.setup;
    const { none } = words.value.common;
    return [
      { term: field.name, value: draft.name ?? none },
      { term: field.area, value: draft.area_m2 === null || draft.area_m2 === undefined ? none : `${format.value.number(draft.area_m2)} m²` },
    ];
  },
};
