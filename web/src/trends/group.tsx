import type { TrendGroup, TrendPoint, Trends } from '../contract.gen';
import { Series, SeriesLegend } from '../marks';
import { fetchAll } from '../api';
import { Answer, ButtonLink, Details, Section, useLoad } from '../parts';
import { go } from '../router';
import { trailAddress } from '../trail/state';
import { format, words } from '../words';
import { AdviceSheet, goByHouses, Houses, questionOf, standingsOf, useAdvice } from './advice';
import { aheadAnswer, aheadLabel, growthAnswer, paceText, pointsAhead } from './ahead';
import { groupAnswer, groupName, groupNote } from './answers';
import { Looks } from './looks';
import { Marked } from './marked';
import { happened, movementDeeds, type Happened } from './happened';
import { zoneOf, type Names } from './names';
import { Numbers } from './numbers';
import { standingOf } from './order';
import { OriginReading } from './origin';
import { axisWeeks, wholeTop } from './scale';
import { Standing } from './standing';
import { addressOf, type TrendsState } from './state';

/** The chart of one group has room for all weeks of its forecast. */
const wholeForecast = 60;

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
            {limit.source !== undefined && <p class="quiet">{say.limitSource(limit.source)}</p>}
          </li>
        ))}
      </ul>
    </Section>
  );
}

/** What was done with a lot, by the numbers on the time axis. */
function Done({ days }: { days: readonly Happened[] }) {
  const { trends: say } = words.value;
  if (days.length === 0) return null;
  return (
    <Details summary={say.doneTitle(days.length)} open={days.length <= 6}>
      <ol class="trend-done">
        {days.map(({ on, number, text }) => (
          <li key={number} value={number}>
            {format.value.date(on)}: {text}
          </li>
        ))}
      </ol>
    </Details>
  );
}

/** One group opened: its answer, a large chart, all numbers, its limits, and the looks of a chosen week. */
export function Group({ state, site, trends, group, names, organism }: GroupProps) {
  const { trends: say } = words.value;
  const speech = { words: words.value, format: format.value };
  const name = groupName(group, trends.by, speech);
  const note = groupNote(group, trends.by, speech);
  const ahead = aheadAnswer(group, trends.by, speech);
  const forecast = pointsAhead(group);
  const { point } = group.answer;
  const grows = growthAnswer(group, speech) !== '';
  const confidence = format.value.percent(trends.confidence_percent);
  const question = questionOf(trends, group, site, state);
  const advice = useAdvice(question);
  const { by } = trends;
  const asked = JSON.stringify(question); // figures of another question are not shown while these are on their way
  const label = aheadLabel(by, new Set(advice.data?.items.map(({ house_id: id }) => id)).size, speech);
  const instead = by === 'lot' ? goByHouses(group, advice.data?.items ?? [], speech) : '';
  const standings = by === 'lot' ? standingsOf(group, advice.data?.items ?? []) : [];
  const change = group.answer.change_percent_points ?? null;
  const week = group.points.find((point) => point.week === state.week);
  const moved = useLoad((signal) => (by === 'lot' && group.key !== '' ? fetchAll('movements', { lot_id: group.key }, signal) : Promise.resolve([])), [by, group.key]);
  const days = happened(movementDeeds(moved.data ?? [], zoneOf, speech), speech);
  const pick = (point: TrendPoint): void => go(addressOf({ ...state, week: point.week, look: null }), { keepScroll: true });
  return (
    <>
      <p class="row trend-standing">
        {standings.length === 0 ? (
          <Standing code={standingOf(group.answer)} />
        ) : (
          [{ name: say.by.lot, code: standingOf(group.answer) }, ...standings].map(({ name: of, code }) => <Standing key={of} code={code} of={of} />)
        )}
        {note !== '' && <span class="quiet">{note}</span>}
      </p>
      <Answer>
        <Marked text={groupAnswer(group, trends, organism, speech, question !== null)} />
      </Answer>
      {point && point.infested_plants > 0 && (
        <p class="lead">{say.rangeMeans(format.value.percent(point.infested_percent), format.value.bounds(point.infested_percent, point.lower_percent, point.upper_percent), by)}</p>
      )}
      {advice.data && (by === 'lot' || by === 'cultivar' || by === 'house') && <Houses by={by} group={group} list={advice.data} />}
      {ahead !== '' && (
        <Answer small>
          {label !== '' && `${label}: `}
          <Marked text={ahead} />
          {instead !== '' && ` ${instead}`}
        </Answer>
      )}
      <div class="trend-chart">
        <Series
          points={group.points}
          limits={group.limits}
          forecast={forecast}
          marks={days}
          weeks={axisWeeks([group], trends.as_of, wholeForecast)}
          max={wholeTop(group)}
          height={280}
          label={say.seriesLabel(name, organism)}
          onPick={pick}
        />
        <SeriesLegend confidence={trends.confidence_percent} ahead={forecast.length > 0} />
        <Done days={days} />
        {(grows || forecast.length > 0) && (
          <Details summary={say.aheadTitle}>
            {grows && <p>{say.growth.note(organism, confidence, paceText(group, speech))}</p>}
            {forecast.length > 0 && <p>{say.forecast.note}</p>}
            {change !== null && change !== 0 && <p>{say.change(format.value.signed(change))}</p>}
          </Details>
        )}
        <p class="lead aside-print">{say.pickWeek}</p>
      </div>
      {question && <AdviceSheet key={`advice ${asked}`} query={question} load={advice} organism={organism} />}
      {by === 'lot' && group.key !== '' && (
        <p class="aside-print">
          <ButtonLink to={trailAddress('lot', group.key)}>{words.value.common.followLot}</ButtonLink>
        </p>
      )}
      <Section title={say.numbers}>
        <Numbers caption={say.numbersOf(name)} group={group} confidence={trends.confidence_percent} onPick={pick} picked={state.week} />
      </Section>
      {week && (
        <Looks
          key={week.week}
          by={by}
          group={group.key}
          week={week.week}
          counted={week}
          narrowing={state}
          arrived={state.arrived}
          site={site}
          of={trends}
          names={names}
          look={state.look}
          at={(look) => addressOf({ ...state, look })}
          closed={addressOf({ ...state, week: null, look: null })}
        />
      )}
      {group.limits.length > 0 && <Limits group={group} />}
      {question && <OriginReading key={`origin ${asked}`} query={question} organism={organism} />}
    </>
  );
}
