import { fetchOne, save } from '../../api';
import type { Crop, CropBody, Organism } from '../../contract.gen';
import { NumberField, SelectField, TextField } from '../../parts';
import { words } from '../../words';
import { organismLabel, organismOptions } from '../organisms';
import type { Kind } from '../record/kind';

/** The usual window of the second look in days; the contract's default. */
export const usualWindow = { second_look_from_days: 14, second_look_to_days: 18 };

/** Crops, whose main organism is one of these. */
export function crop(organisms: readonly Organism[]): Kind<CropBody, Crop> {
  return {
    members: ['name', 'eppo_code', 'main_organism_id', 'second_look_from_days', 'second_look_to_days'],
    save: (id, body, version) => save('crops', id, body, version),
    fetch: (id) => fetchOne('crops', id),
    fields: (draft, change) => {
      const { field, hint } = words.value.setup;
      return (
        <>
          <div class="form-row">
            <TextField label={field.name} pointer="/name" value={draft.name ?? ''} onValue={(name) => change({ name })} maxLength={200} />
            <TextField
              label={field.eppoCode}
              pointer="/eppo_code"
              optional
              value={draft.eppo_code ?? ''}
              onValue={(code) => change({ eppo_code: code.toUpperCase() })}
              maxLength={6}
            />
          </div>
          <SelectField
            label={field.mainOrganism}
            hint={hint.mainOrganism}
            pointer="/main_organism_id"
            value={draft.main_organism_id ?? null}
            onValue={(id) => change({ main_organism_id: id })}
            options={organismOptions(organisms)}
          />
          <div class="form-row">
            <NumberField
              label={field.secondLookFrom}
              hint={hint.secondLook}
              pointer="/second_look_from_days"
              min={1}
              max={90}
              value={draft.second_look_from_days ?? null}
              onValue={(days) => change({ second_look_from_days: days })}
            />
            <NumberField
              label={field.secondLookTo}
              pointer="/second_look_to_days"
              min={1}
              max={90}
              value={draft.second_look_to_days ?? null}
              onValue={(days) => change({ second_look_to_days: days })}
            />
          </div>
        </>
      );
    },
    facts: (draft) => {
      const { setup, common } = words.value;
      const organism = organisms.find(({ id }) => id === draft.main_organism_id);
      return [
        { term: setup.field.name, value: draft.name ?? common.none },
        { term: setup.field.eppoCode, value: draft.eppo_code ?? common.none },
        { term: setup.field.mainOrganism, value: organism ? organismLabel(organism) : common.none },
        { term: setup.field.secondLookFrom, value: common.days(draft.second_look_from_days ?? usualWindow.second_look_from_days) },
        { term: setup.field.secondLookTo, value: common.days(draft.second_look_to_days ?? usualWindow.second_look_to_days) },
      ];
    },
  };
}
