import type { TrendGroup, TrendPoint, Trends } from '../contract.gen';
import { Series } from '../marks';
import { Answer, Section } from '../parts';
import { go } from '../router';
import { format, words } from '../words';
import { groupAnswer, groupName, groupNote } from './answers';
import { Looks } from './looks';
import { Marked } from './marked';
import type { Names } from './names';
import { Numbers } from './numbers';
import { axisWeeks, commonTop } from './scale';
import { Standing } from './standing';
import { addressOf, type TrendsState } from './state';

interface GroupProps {
  state: TrendsState;
  site: string;
  trends: Trends;
  group: TrendGroup;
  names: Names;
  organism: string;
}

function Limits({ group }: { group: TrendGroup }) {
  const { trends: say } = words.value;
  const f = format.value;
  return (
    <Section title={say.limits}>
      <ul class="trend-limits">
        {group.limits.map((limit) => (
          <li key={limit.threshold_id}>
            <p>
              <b>{(limit.effect === 'act' ? say.limitLine : say.limitAim)(f.percent(limit.percent), limit.from_on, limit.to_on)}</b>
              {(limit.smallest_plants ?? 0) > 0 && `, ${say.smallest(limit.smallest_plants ?? 0)}`}
            </p>
            {limit.source !== undefined && <p class="quiet">{limit.source}</p>}
          </li>
        ))}
      </ul>
    </Section>
  );
}

/** One group opened: its answer, a large chart, all numbers, its limits, and the looks of a chosen week. */
export function Group({ state, site, trends, group, names, organism }: GroupProps) {
  const { trends: say } = words.value;
  const speech = { words: words.value, format: format.value };
  const name = groupName(group, trends.by, speech);
  const note = groupNote(group, trends.by, speech);
  const change = group.answer.change_percent_points ?? null;
  const week = group.points.find((point) => point.week === state.week);
  const pick = (point: TrendPoint): void => go(addressOf({ ...state, week: point.week, look: null }), { keepScroll: true });
  return (
    <>
      <p class="row trend-standing">
        <Standing code={group.answer.code} />
        {note !== '' && <span class="quiet">{note}</span>}
      </p>
      <Answer>
        <Marked text={groupAnswer(group, trends, organism, speech)} />
      </Answer>
      <div>
        <Series
          points={group.points}
          limits={group.limits}
          weeks={axisWeeks(trends.groups, trends.as_of)}
          max={commonTop([group])}
          height={280}
          label={say.seriesLabel(name, organism)}
          onPick={pick}
        />
        {change !== null && change !== 0 && <p class="quiet">{say.change(format.value.signed(change))}</p>}
        <p class="lead aside-print">{say.pickWeek}</p>
      </div>
      <Section title={say.numbers}>
        <Numbers caption={say.numbersOf(name)} points={group.points} onPick={pick} picked={state.week} />
      </Section>
      {week && <Looks key={week.week} state={state} site={site} trends={trends} point={week} names={names} />}
      {group.limits.length > 0 && <Limits group={group} />}
    </>
  );
}
