import type { TrendBy, Trends } from '../contract.gen';
import { ChoiceField, Details, SelectField, type Option } from '../parts';
import { format, words } from '../words';
import { groupName } from './answers';
import type { Names } from './names';
import { all, Narrow } from './narrow';
import { orders } from './order';
import { mainGroupings, originGroupings, otherGroupings, type TrendsState } from './state';

interface FiltersProps {
  state: TrendsState;
  /** The site in force, or `allSites`. */
  site: string;
  names: Names;
  trends: Trends | undefined;
  onChange: (change: Partial<TrendsState>) => void;
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
  const { arrived } = state;
  return (
    <div class="trends-filters">
      <Groupings by={state.by} onBy={(by) => onChange({ by })} />
      <Narrow state={state} site={site} names={names} found={found} onChange={onChange}>
        {arrived !== null && (
          <SelectField
            label={trends.by.arrival_week}
            value={arrived}
            onValue={(value) => onChange({ arrived: value === all ? null : value })}
            options={[
              { value: all, label: trends.allArrivals },
              { value: arrived, label: groupName({ key: arrived, label: arrived }, 'arrival_week', { words: words.value, format: format.value }) },
            ]}
          />
        )}
        <SelectField
          label={trends.orderChoice}
          value={state.order}
          onValue={(value) => onChange({ order: orders.find((one) => one === value) ?? 'known' })}
          options={orders.map((value) => ({ value, label: trends.orders[value] }))}
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
      </Narrow>
    </div>
  );
}
