import type { TrendBy, Trends } from '../contract.gen';
import { ChoiceField, Details, SelectField, type Option } from '../parts';
import { sites } from '../session';
import { words } from '../words';
import { commonName } from '../organism';
import { type Names } from './names';
import { allSites, mainGroupings, originGroupings, otherGroupings, type TrendsState } from './state';

interface FiltersProps {
  state: TrendsState;
  /** The site in force, or `allSites`. */
  site: string;
  names: Names;
  trends: Trends | undefined;
  onChange: (change: Partial<TrendsState>) => void;
}

const all = 'all';

function withAll(label: string, options: Option[]): Option[] {
  return [{ value: all, label }, ...options];
}

/** What the looks are grouped by: the five daily groupings in sight, the others one tap away. */
function Groupings({ by, onBy }: { by: TrendBy; onBy: (by: TrendBy) => void }) {
  const { trends } = words.value;
  const option = (value: TrendBy): Option<TrendBy> => ({ value, label: trends.by[value] });
  const other = otherGroupings.some((one) => one === by);
  return (
    <div class="groupings">
      <ChoiceField label={trends.groupBy} quietLabel value={by} onValue={onBy} options={mainGroupings.map(option)} />
      <Details summary={trends.otherGroupings} open={other}>
        <ChoiceField label={trends.otherGroupings} quietLabel value={by} onValue={onBy} options={otherGroupings.map(option)} />
      </Details>
    </div>
  );
}

/** Grouping and filters; every choice goes into the address. */
export function Filters({ state, site, names, trends: found, onChange }: FiltersProps) {
  const { trends } = words.value;
  const houses = names.houses.filter((house) => site === allSites || house.site_id === site);
  const siteName = (id: string): string => sites.value.find((one) => one.id === id)?.name ?? '';
  const crop = (id: string): string => names.crops.find((one) => one.id === id)?.name ?? '';
  const organism = names.organisms.find((one) => one.id === (found?.organism_id ?? state.organism))?.id ?? null;
  const season = found?.season_id ?? state.season;
  return (
    <div class="trends-filters">
      <Groupings by={state.by} onBy={(by) => onChange({ by })} />
      <div class="form-row" role="group" aria-label={trends.filters}>
        {sites.value.length > 1 && (
          <SelectField
            label={trends.site}
            value={site}
            onValue={(value) => onChange({ site: value })}
            options={[{ value: allSites, label: trends.allSites }, ...sites.value.map(({ id, name }) => ({ value: id, label: name }))]}
          />
        )}
        <SelectField
          label={trends.house}
          value={state.house ?? all}
          onValue={(value) => onChange({ house: value === all ? null : value })}
          options={withAll(
            trends.allHouses,
            houses
              .map(({ id, name, site_id }) => ({ value: id, label: site === allSites ? `${siteName(site_id)} · ${name}` : name }))
              .toSorted((a, b) => a.label.localeCompare(b.label, undefined, { numeric: true })),
          )}
        />
        <SelectField
          label={trends.cultivar}
          value={state.cultivar ?? all}
          onValue={(value) => onChange({ cultivar: value === all ? null : value })}
          options={withAll(
            trends.allCultivars,
            names.cultivars.map(({ id, name }) => ({ value: id, label: name })).toSorted((a, b) => a.label.localeCompare(b.label)),
          )}
        />
        <SelectField
          label={trends.organism}
          value={organism}
          onValue={(value) => onChange({ organism: value })}
          options={names.organisms
            .map((one) => ({ value: one.id, label: commonName(one) }))
            .toSorted((a, b) => a.label.localeCompare(b.label))}
        />
        <SelectField
          label={trends.intervalChoice}
          value={state.interval ?? 'design'}
          onValue={(value) => onChange({ interval: value === 'wilson' ? value : null })}
          options={(['design', 'wilson'] as const).map((value) => ({ value, label: trends.intervals[value] }))}
        />
        {originGroupings.includes(state.by) && (found?.mixed_plants ?? 0) > 0 && (
          <SelectField
            label={trends.mixedChoice}
            value={state.mixed ?? 'apart'}
            onValue={(value) => onChange({ mixed: value === 'shared' ? value : null })}
            options={(['apart', 'shared'] as const).map((value) => ({ value, label: trends.mixedLots[value] }))}
          />
        )}
        {names.seasons.length > 1 && (
          <SelectField
            label={trends.season}
            value={season ?? null}
            onValue={(value) => onChange({ season: value })}
            options={names.seasons
              .toSorted((a, b) => b.year - a.year)
              .map(({ id, year, crop_id }) => ({ value: id, label: trends.seasonYear(year, crop(crop_id)) }))}
          />
        )}
      </div>
    </div>
  );
}
