import type { ComponentChildren } from 'preact';

import type { ReviewFigures, ReviewGroup, SeasonReview } from '../contract.gen';
import { IntervalRow, percentTop } from '../marks';
import { Section, Table, type Column } from '../parts';
import { Link, withQuery } from '../router';
import { mostOf } from '../trends/scale';
import { format, words } from '../words';
import { claimsText, groupName, inOrder, overText, peakText, rateText, type Speech } from './review';
import type { SeasonState } from './state';

interface RowsProps {
  review: SeasonReview;
  state: SeasonState;
}

/** What a cell says now, and under it what it said a season ago. */
function Both({ review, group, say }: { review: SeasonReview; group: ReviewGroup; say: (figures: ReviewFigures) => string[] }) {
  const last = group.last ? say(group.last).join('; ') : '';
  const now = say(group.now).filter((line) => line !== '');
  return (
    <>
      {now.length === 0 ? <span class="quiet">{words.value.season.notCounted}</span> : now.map((line) => <span key={line} class="season-line">{line}</span>)}
      {last !== '' && <span class="season-last">{words.value.season.last(review.last_season_year ?? 0, last)}</span>}
    </>
  );
}

function Peak({ review, group, max, to }: { review: SeasonReview; group: ReviewGroup; max: number; to: string | null }) {
  const speech = { words: words.value, format: format.value };
  const { peak } = group.now;
  const last = group.last?.peak;
  const text = peak ? peakText(peak, speech) : '';
  return (
    <div class="season-peak">
      {peak ? to === null ? text : <Link to={to}>{text}</Link> : <span class="quiet">{words.value.season.notLooked}</span>}
      {peak && <IntervalRow percent={peak.infested_percent} lower={peak.lower_percent} upper={peak.upper_percent} max={max} />}
      {last && <span class="season-last">{words.value.season.last(review.last_season_year ?? 0, peakText(last, speech))}</span>}
    </div>
  );
}

function arrivalText(figures: ReviewFigures, speech: Speech): string[] {
  const say = speech.words.season;
  const [dock, second] = [rateText(figures.dock, speech), rateText(figures.second_look, speech)];
  return [say.lots(figures.lots, speech.words.common.plants(figures.plants_received)), say.dock(dock || say.notLooked), ...(second === '' ? [] : [say.second(second)])];
}

function trendsAddress({ by, season_id: season }: SeasonReview, { site }: SeasonState, key: string, week: string | null): string {
  return withQuery('/trends', { by, site: site ?? 'all', season, open: key === '' ? 'unknown' : key, week });
}

/** The groups of the season, and all together, each against the season before. */
export function Rows({ review, state }: RowsProps) {
  const say = words.value.season;
  const f = format.value;
  const speech = { words: words.value, format: f };
  const byHouse = review.by === 'house';
  const whole: ReviewGroup = { ...review.whole, key: 'all' };
  const isWhole = (group: ReviewGroup): boolean => group === whole;
  const groups = [...inOrder(review.groups, state.order), whole];
  const peaks = groups.flatMap(({ now: { peak } }) => (peak ? [peak] : []));
  const max = percentTop([mostOf(peaks.map(({ upper_percent: upper }) => upper)), ...peaks.map(({ infested_percent: share }) => share)]);
  const both =
    (text: (figures: ReviewFigures) => string[]) =>
    (group: ReviewGroup): ComponentChildren => <Both review={review} group={group} say={text} />;
  const of: Column<ReviewGroup>[] = [
    {
      key: 'group',
      head: say.by[review.by],
      cell: (group) =>
        isWhole(group) ? (
          say.whole
        ) : (
          <>
            {group.now.peak ? <Link to={trendsAddress(review, state, group.key, null)}>{groupName(group, review.by, speech)}</Link> : groupName(group, review.by, speech)}
            {group.sub_label !== '' && <span class="season-about">{group.sub_label}</span>}
          </>
        ),
    },
  ];
  const ofLots: Column<ReviewGroup>[] = [
    { key: 'dock', head: say.head.dock, cell: both((figures) => arrivalText(figures, speech)) },
    { key: 'strike', head: say.head.strike, cell: both((figures) => [rateText(figures.strike, speech)]) },
  ];
  const ofAll: Column<ReviewGroup>[] = [
    { key: 'loss', head: byHouse ? say.head.lossHouse : say.head.loss, cell: both((figures) => [rateText(figures.loss, speech)]) },
    {
      key: 'peak',
      head: say.head.peak,
      cell: (group) => <Peak review={review} group={group} max={max} to={isWhole(group) ? null : trendsAddress(review, state, group.key, group.now.peak?.week ?? null)} />,
    },
    { key: 'over', head: say.head.over, cell: both((figures) => overText(figures, speech)) },
    { key: 'end', head: say.head.end, cell: both(({ dispatched, standing }) => [say.dispatched(f.count(dispatched)), say.standing(f.count(standing))]) },
  ];
  const claims: Column<ReviewGroup>[] = [{ key: 'claims', head: say.head.claims, cell: both((figures) => claimsText(figures, speech)) }];
  return (
    <Section title={say.groups[review.by]} lead={say.lead}>
      <Table
        caption={say.caption}
        stack
        columns={[...of, ...(byHouse ? [] : ofLots), ...ofAll, ...(byHouse ? [] : claims)]}
        rows={groups}
        rowKey={(group) => (isWhole(group) ? 'whole of all' : group.key)}
      />
    </Section>
  );
}
