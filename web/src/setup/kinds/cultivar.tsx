import { fetchOne, save } from '../../api';
import type { BractColour, Crop, Cultivar, CultivarBody } from '../../contract.gen';
import { ChoiceField, SelectField, TextField } from '../../parts';
import { gtin14 } from '../../labels/gtin';
import { words } from '../../words';
import type { Kind } from '../record/kind';

const tones = ['light', 'medium', 'dark'] as const satisfies readonly Cultivar['foliage'][];
const colours = ['red', 'white', 'pink', 'marbled', 'yellow', 'other'] as const satisfies readonly BractColour[];

/** Cultivars of these crops. */
export function cultivar(crops: readonly Crop[]): Kind<CultivarBody, Cultivar> {
  return {
    members: ['crop_id', 'name', 'foliage', 'bract_colour', 'gtin'],
    save: (id, body, version) => save('cultivars', id, body, version),
    fetch: (id) => fetchOne('cultivars', id),
    faults: ({ gtin }) => (gtin && gtin14(gtin) === null ? [{ pointer: '/gtin', code: 'wrong_gtin' }] : []),
    fields: (draft, change) => {
      const { setup, common } = words.value;
      return (
        <>
          <TextField label={setup.field.name} pointer="/name" value={draft.name ?? ''} onValue={(name) => change({ name })} maxLength={200} />
          <ChoiceField
            label={setup.field.foliage}
            hint={setup.hint.foliage}
            pointer="/foliage"
            value={draft.foliage ?? null}
            onValue={(foliage) => change({ foliage })}
            options={tones.map((value) => ({ value, label: common.foliage[value] }))}
          />
          <div class="form-row">
            <SelectField
              label={setup.field.bract}
              pointer="/bract_colour"
              optional
              empty={common.unknown}
              value={draft.bract_colour ?? null}
              onValue={(colour) => change({ bract_colour: colour })}
              options={colours.map((value) => ({ value, label: common.bract[value] }))}
            />
            {crops.length > 1 && (
              <SelectField
                label={setup.field.crop}
                pointer="/crop_id"
                value={draft.crop_id ?? null}
                onValue={(id) => change({ crop_id: id })}
                options={crops.map(({ id, name }) => ({ value: id, label: name }))}
              />
            )}
          </div>
          <TextField
            label={setup.field.gtin}
            hint={setup.hint.gtin}
            pointer="/gtin"
            optional
            autocomplete="off"
            value={draft.gtin ?? ''}
            onValue={(text) => change({ gtin: text.replace(/[\s-]/g, '') })}
            maxLength={24}
          />
        </>
      );
    },
    facts: (draft) => {
      const { setup, common } = words.value;
      return [
        { term: setup.field.name, value: draft.name ?? common.none },
        { term: setup.field.foliage, value: draft.foliage ? common.foliage[draft.foliage] : common.none },
        { term: setup.field.bract, value: draft.bract_colour ? common.bract[draft.bract_colour] : common.unknown },
        { term: setup.field.gtin, value: draft.gtin ?? common.none },
        { term: setup.field.crop, value: crops.find(({ id }) => id === draft.crop_id)?.name ?? common.none },
      ];
    },
  };
}
