import { fetchOne, save } from '../../api';
import type { Crop, Cultivar, House, Organism, Threshold, ThresholdBody } from '../../contract.gen';
import { ChoiceField, DateField, NumberField, SelectField, TextArea } from '../../parts';
import { format, words } from '../../words';
import { organismLabel, organismOptions } from '../organisms';
import type { Kind } from '../record/kind';

/** What a limit may be about. */
export interface Scopes {
  organisms: readonly Organism[];
  crops: readonly Crop[];
  cultivars: readonly Cultivar[];
  houses: readonly (House & { site: string })[];
}

const options = (list: readonly { id: string; name: string }[]) => list.map(({ id, name }) => ({ value: id, label: name }));

/** The dated limits, over these organisms, crops, cultivars and houses. */
export function threshold({ organisms, crops, cultivars, houses }: Scopes): Kind<ThresholdBody, Threshold> {
  const houseOptions = houses.map(({ id, name, site }) => ({ value: id, label: `${site} · ${name}` }));
  return {
    members: [
      'organism_id',
      'crop_id',
      'cultivar_id',
      'house_id',
      'from_on',
      'to_on',
      'percent',
      'smallest_plants',
      'effect',
      'source',
      'withdrawn_because',
    ],
    save: (id, body, version) => save('thresholds', id, body, version),
    fetch: (id) => fetchOne('thresholds', id),
    withdrawal: { withdrawn_because: words.value.setup.undoReason },
    fields: (draft, change) => {
      const { setup } = words.value;
      const { field, hint } = setup;
      return (
        <>
          <div class="form-row">
            <SelectField
              label={field.crop}
              pointer="/crop_id"
              value={draft.crop_id ?? null}
              onValue={(id) => change({ crop_id: id, cultivar_id: null })}
              options={options(crops)}
            />
            <SelectField
              label={field.organism}
              pointer="/organism_id"
              value={draft.organism_id ?? null}
              onValue={(id) => change({ organism_id: id })}
              options={organismOptions(organisms)}
            />
          </div>
          <div class="form-row">
            <NumberField
              label={field.percent}
              pointer="/percent"
              unit="%"
              decimals={1}
              min={0}
              max={100}
              value={draft.percent ?? null}
              onValue={(percent) => change({ percent })}
            />
            <NumberField
              label={field.smallestPlants}
              hint={hint.smallestPlants}
              pointer="/smallest_plants"
              optional
              min={0}
              value={draft.smallest_plants ?? null}
              onValue={(plants) => change({ smallest_plants: plants })}
            />
          </div>
          <div class="form-row">
            <DateField label={field.fromOn} pointer="/from_on" value={draft.from_on ?? null} onValue={(on) => change({ from_on: on })} />
            <DateField label={field.toOn} pointer="/to_on" value={draft.to_on ?? null} onValue={(on) => change({ to_on: on })} />
          </div>
          <ChoiceField
            label={field.effect}
            pointer="/effect"
            value={draft.effect ?? null}
            onValue={(effect) => change({ effect })}
            options={[
              { value: 'act', label: setup.effect.act, hint: hint.act },
              { value: 'went_well', label: setup.effect.went_well, hint: hint.wentWell },
            ]}
          />
          <div class="form-row">
            <SelectField
              label={field.cultivar}
              pointer="/cultivar_id"
              optional
              empty={setup.everyCultivar}
              value={draft.cultivar_id ?? null}
              onValue={(id) => change({ cultivar_id: id })}
              options={options(cultivars.filter((one) => one.crop_id === draft.crop_id))}
            />
            <SelectField
              label={field.house}
              pointer="/house_id"
              optional
              empty={setup.everyHouse}
              value={draft.house_id ?? null}
              onValue={(id) => change({ house_id: id })}
              options={houseOptions}
            />
          </div>
          <TextArea
            label={field.source}
            hint={hint.source}
            pointer="/source"
            rows={2}
            maxLength={400}
            value={draft.source ?? ''}
            onValue={(source) => change({ source })}
          />
        </>
      );
    },
    facts: (draft) => {
      const { setup, common } = words.value;
      const { field } = setup;
      const f = format.value;
      const organism = organisms.find(({ id }) => id === draft.organism_id);
      const date = (on: string | null | undefined): string => (on ? f.fullDate(on) : common.none);
      return [
        { term: field.crop, value: crops.find(({ id }) => id === draft.crop_id)?.name ?? common.none },
        { term: field.organism, value: organism ? organismLabel(organism) : common.none },
        { term: field.percent, value: typeof draft.percent === 'number' ? f.percent(draft.percent) : common.none },
        { term: field.smallestPlants, value: f.count(draft.smallest_plants ?? 0) },
        { term: field.fromOn, value: date(draft.from_on) },
        { term: field.toOn, value: date(draft.to_on) },
        { term: field.effect, value: draft.effect ? setup.effect[draft.effect] : common.none },
        { term: field.cultivar, value: cultivars.find(({ id }) => id === draft.cultivar_id)?.name ?? setup.everyCultivar },
        { term: field.house, value: houseOptions.find(({ value }) => value === draft.house_id)?.label ?? setup.everyHouse },
        { term: field.source, value: draft.source ?? common.none },
        { term: setup.withdrawnWhy, value: draft.withdrawn_because ?? common.none },
      ];
    },
  };
}
