import type { Crop, HouseComparison, Season } from '../contract.gen';
import { mondayOf } from '../local/zone';
import { SelectField } from '../parts';
import { sites } from '../session';
import { format, words } from '../words';
import { orders, type HousesState, type Order } from './state';

interface FiltersProps {
  state: HousesState;
  comparison: HouseComparison;
  seasons: readonly Season[];
  crops: readonly Crop[];
  onChange: (change: Partial<HousesState>) => void;
}

const all = 'all';

/** Site, season, week and order; every choice goes into the address. */
export function Filters({ state, comparison, seasons, crops, onChange }: FiltersProps) {
  const say = words.value.houses;
  const f = format.value;
  const season = comparison.season_id ?? state.season;
  const crop = (id: string): string => crops.find((one) => one.id === id)?.name ?? '';
  const oneWeek = comparison.from_week === comparison.to_week ? comparison.from_week : null;
  const weeks = oneWeek !== null && oneWeek !== '' && !comparison.weeks.includes(oneWeek) ? [...comparison.weeks, oneWeek].toSorted() : comparison.weeks;
  return (
    <div class="form-row houses-filters" role="group" aria-label={say.filters}>
      <SelectField
        label={say.period}
        value={oneWeek ?? all}
        onValue={(value) => onChange(value === all ? { week: null, season: season ?? null } : { week: value })}
        options={[{ value: all, label: say.wholeSeason }, ...weeks.toReversed().map((week) => ({ value: week, label: say.week(f.week(week), f.date(mondayOf(week))) }))]}
      />
      {sites.value.length > 1 && (
        <SelectField
          label={say.site}
          value={state.site ?? all}
          onValue={(value) => onChange({ site: value === all ? null : value })}
          options={[{ value: all, label: say.allSites }, ...sites.value.map(({ id, name }) => ({ value: id, label: name }))]}
        />
      )}
      {seasons.length > 1 && (
        <SelectField
          label={say.season}
          value={season ?? null}
          onValue={(value) => onChange({ season: value, week: null })}
          options={seasons.toSorted((a, b) => b.year - a.year).map(({ id, year, crop_id: of }) => ({ value: id, label: say.seasonYear(year, crop(of)) }))}
        />
      )}
      <SelectField<Order> label={say.order} value={state.order} onValue={(order) => onChange({ order: order ?? 'known' })} options={orders.map((value) => ({ value, label: say.orders[value] }))} />
    </div>
  );
}
