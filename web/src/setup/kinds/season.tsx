import { fetchOne, save } from '../../api';
import type { Crop, Milestone, Season, SeasonBody } from '../../contract.gen';
import { Button, DateField, NumberField, SelectField } from '../../parts';
import { format, words } from '../../words';
import type { Draft, Kind } from '../record/kind';

const kinds = ['sticking', 'pinch', 'short_days', 'decision', 'first_colour', 'shipping'] as const satisfies readonly Milestone['kind'][];

/** A milestone in words: "pinch 14 Aug". */
export function milestoneText({ kind, on }: Milestone): string {
  return `${words.value.setup.milestone[kind]} ${format.value.date(on)}`;
}

function Milestones({ draft, change }: { draft: Draft<SeasonBody>; change: (part: Draft<SeasonBody>) => void }) {
  const { setup } = words.value;
  const rows = draft.milestones ?? [];
  const set = (i: number, part: Partial<Milestone>): void =>
    change({ milestones: rows.map((row, at) => (at === i ? { ...row, ...part } : row)) });
  return (
    <fieldset class="rows">
      <legend>{setup.milestones}</legend>
      <p class="field-hint">{setup.hint.milestones}</p>
      {rows.map((row, i) => (
        <div key={i} class="rows-row">
          <SelectField
            label={setup.field.milestone}
            pointer={`/milestones/${i}/kind`}
            value={row.kind}
            onValue={(kind) => kind && set(i, { kind })}
            options={kinds.map((value) => ({ value, label: setup.milestone[value] }))}
          />
          <DateField label={setup.field.on} pointer={`/milestones/${i}/on`} value={row.on} onValue={(on) => set(i, { on: on ?? '' })} />
          <Button
            kind="quiet"
            aria-label={setup.removeMilestone(setup.milestone[row.kind])}
            onClick={() => change({ milestones: rows.filter((_, at) => at !== i) })}
          >
            {setup.remove}
          </Button>
        </div>
      ))}
      <Button
        onClick={() => {
          const kind = kinds.find((one) => !rows.some((row) => row.kind === one)) ?? kinds[0];
          change({ milestones: [...rows, { kind, on: '' }] });
        }}
      >
        {setup.addMilestone}
      </Button>
    </fieldset>
  );
}

/** Seasons of these crops. */
export function season(crops: readonly Crop[]): Kind<SeasonBody, Season> {
  return {
    members: ['crop_id', 'year', 'starts_on', 'ends_on', 'milestones'],
    save: (id, body, version) => save('seasons', id, body, version),
    fetch: (id) => fetchOne('seasons', id),
    fields: (draft, change) => {
      const { field } = words.value.setup;
      return (
        <>
          <div class="form-row">
            <SelectField
              label={field.crop}
              pointer="/crop_id"
              value={draft.crop_id ?? null}
              onValue={(id) => change({ crop_id: id })}
              options={crops.map(({ id, name }) => ({ value: id, label: name }))}
            />
            <NumberField label={field.year} pointer="/year" min={1990} max={2200} value={draft.year ?? null} onValue={(year) => change({ year })} />
          </div>
          <div class="form-row">
            <DateField label={field.startsOn} pointer="/starts_on" value={draft.starts_on ?? null} onValue={(on) => change({ starts_on: on })} />
            <DateField label={field.endsOn} pointer="/ends_on" value={draft.ends_on ?? null} onValue={(on) => change({ ends_on: on })} />
          </div>
          <Milestones draft={draft} change={change} />
        </>
      );
    },
    facts: (draft) => {
      const { setup, common } = words.value;
      const date = (on: string | null | undefined): string => (on ? format.value.fullDate(on) : common.none);
      const dated = (draft.milestones ?? []).filter(({ on }) => on !== '');
      return [
        { term: setup.field.crop, value: crops.find(({ id }) => id === draft.crop_id)?.name ?? common.none },
        { term: setup.field.year, value: typeof draft.year === 'number' ? String(draft.year) : common.none },
        { term: setup.field.startsOn, value: date(draft.starts_on) },
        { term: setup.field.endsOn, value: date(draft.ends_on) },
        { term: setup.milestones, value: dated.length > 0 ? format.value.list(dated.map(milestoneText)) : common.none },
      ];
    },
  };
}
