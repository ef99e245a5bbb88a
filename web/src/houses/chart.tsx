import type { ComparedHouse, HouseComparison } from '../contract.gen';
import { Funnel, percentTop } from '../marks';
import { Section, Table, type Column } from '../parts';
import { go } from '../router';
import { More } from '../trends/more';
import { pText } from '../trends/p-value';
import { format, words } from '../words';
import { hasSeveralSites, houseName, isOutside } from './answer';
import { trendsOf } from './rows';

/** The funnel limits by how much is told, fewest first. */
function stepsOf(houses: readonly ComparedHouse[]): { plants: number; lower: number; upper: number }[] {
  const steps = new Map(houses.map(({ funnel: { plants, lower_percent: lower, upper_percent: upper } }) => [plants, { plants, lower, upper }]));
  return [...steps.values()].toSorted((a, b) => a.plants - b.plants);
}

function Numbers({ houses, nameOf }: { houses: readonly ComparedHouse[]; nameOf: (house: ComparedHouse) => string }) {
  const say = words.value.houses;
  const f = format.value;
  const columns: Column<ComparedHouse>[] = [
    { key: 'house', head: say.columns.house, cell: nameOf },
    { key: 'tells', head: say.columns.tells, number: true, cell: ({ funnel }) => f.count(funnel.plants) },
    { key: 'percent', head: say.columns.percent, number: true, cell: ({ funnel }) => f.percent(funnel.percent) },
    {
      key: 'chance',
      head: say.columns.chance,
      number: true,
      cell: ({ funnel }) => `${f.bounds(funnel.percent, funnel.lower_percent, funnel.upper_percent)}\u00a0%`,
    },
    { key: 'where', head: say.columns.where, cell: (house) => (isOutside(house) ? say.outside : say.inside) },
    {
      key: 'p',
      head: say.columns.p,
      number: true,
      cell: ({ like, verdict }) => (like.strata > 0 && verdict !== 'too_few' ? pText(like.adjusted_p, { format: f }) : '–'),
    },
  ];
  return <Table caption={say.numbers} columns={columns} rows={houses} rowKey={({ house_id: id }) => id} />;
}

/** The houses against how much is known of them, with the lines of chance. */
export function Chart({ comparison }: { comparison: HouseComparison }) {
  const say = words.value.houses;
  const f = format.value;
  const several = hasSeveralSites(comparison.houses);
  const nameOf = (house: ComparedHouse): string => houseName(house, several, { words: words.value, format: f });
  const houses = comparison.houses.filter(({ funnel }) => funnel.plants > 0);
  if (houses.length < 2) return null;
  const byKey = new Map(houses.map((house) => [house.house_id, house]));
  return (
    <Section title={say.funnel} lead={say.funnelLead}>
      <Funnel
        points={houses.map((house) => ({
          key: house.house_id,
          name: nameOf(house),
          plants: house.funnel.plants,
          percent: house.funnel.percent,
          outside: isOutside(house),
          text: say.funnelPoint(nameOf(house), f.percent(house.funnel.percent), f.count(house.funnel.plants), f.percent(house.funnel.lower_percent), f.percent(house.funnel.upper_percent)),
        }))}
        limits={stepsOf(houses)}
        overall={comparison.overall_percent}
        max={percentTop(houses.map(({ funnel }) => funnel.percent))}
        label={say.funnelLabel(houses.length)}
        text={say.funnelText(f.list(houses.filter(isOutside).map(nameOf)))}
        axis={say.funnelAxis}
        onPick={(key) => {
          const house = byKey.get(key);
          if (house) go(trendsOf(house, comparison));
        }}
      />
      <ul class="legend" aria-hidden="true">
        <li>
          <svg viewBox="0 0 12 12" width="12" height="12">
            <circle class="funnel-point" cx="6" cy="6" r="3.5" />
          </svg>
          {say.inside}
        </li>
        <li>
          <svg viewBox="0 0 12 12" width="12" height="12">
            <path class="funnel-outside" transform="translate(6 6)" d="M0 -5.5 L5.5 0 L0 5.5 L-5.5 0 Z" />
          </svg>
          {say.outside}
        </li>
      </ul>
      <More summary={say.numbers}>{() => <Numbers houses={houses} nameOf={nameOf} />}</More>
    </Section>
  );
}
