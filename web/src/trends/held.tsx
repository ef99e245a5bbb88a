import { useState } from 'preact/hooks';

import type { Trends } from '../contract.gen';
import { Funnel, IntervalRow, IntervalScale } from '../marks';
import { Answer, Button, Section, Table, Tag, type Column } from '../parts';
import { go, Link } from '../router';
import { format, words } from '../words';
import { adjustedText, comparisonAnswer, countsTogether, differsText, foliageAnswer, funnelSteps, groupsText, heldGroups, heldTop, placeOf, someNames, type Held } from './compare';
import { Marked } from './marked';
import { More } from './more';
import { addressOf, type TrendsState } from './state';

/** As many groups are shown at first; a page of cards is long enough. */
const firstShown = 20;

interface HeldProps {
  state: TrendsState;
  trends: Trends;
  /** Called before a group is opened. */
  onOpen: () => void;
}

interface PartProps {
  held: readonly Held[];
  overall: number;
}

function share(one: Held): string {
  return format.value.share(one);
}

function ShowAll({ all, onAll, total }: { all: boolean; onAll: (all: boolean) => void; total: number }) {
  const say = words.value.trends.held;
  if (total <= firstShown) return null;
  return (
    <p class="aside-print">
      <Button onClick={() => onAll(!all)}>{all ? say.showFewer(firstShown) : say.showAll(total)}</Button>
    </p>
  );
}

/** The groups by the lower end of their intervals, all on one scale. */
function Ranking({ held, overall, state, onOpen }: PartProps & Omit<HeldProps, 'trends'>) {
  const say = words.value.trends.held;
  const f = format.value;
  const [all, setAll] = useState(false);
  const max = heldTop(held);
  const together = countsTogether(held);
  const shown = all ? held : held.slice(0, firstShown);
  return (
    <>
      <p class="lead">{say.rankingNote(f.percent(max))}</p>
      <ul class="legend" aria-hidden="true">
        <li>
          <span class="held-key">
            <IntervalRow percent={50} lower={20} upper={80} max={100} />
          </span>
          {say.marks.share}
        </li>
        <li>
          <svg viewBox="-7 -7 14 14" width="14" height="14">
            <path class="interval-aside" d="M0 -5 L5 0 L0 5 L-5 0 Z" />
          </svg>
          {say.marks.shrunken}
        </li>
        <li>
          <svg viewBox="0 0 8 16" width="8" height="16">
            <line class="interval-overall" x1="4" x2="4" y1="0" y2="16" />
          </svg>
          {say.marks.overall(f.of(together.infested, together.looked), f.percent(overall))}
        </li>
      </ul>
      <div class="held-scale">
        <IntervalScale max={max} write={f.percent} />
      </div>
      <ol class="held-list">
        {shown.map((one) => (
          <li key={one.key} value={one.rank}>
            <span class="held-rank" aria-hidden="true">
              {f.count(one.rank)}
            </span>
            <p class="held-name">
              <span class="aside-only">{say.ranked(one.rank)}: </span>
              {one.group ? (
                <Link to={addressOf({ ...state, open: one.key, week: null, look: null })} onClick={onOpen}>
                  {one.name}
                </Link>
              ) : (
                one.name
              )}
              {one.differs !== 'no' && <Tag strong={one.differs === 'higher'}>{differsText(one, { words: words.value, format: f })}</Tag>}
            </p>
            <p class="held-share">
              {share(one)}
              <span class="aside-only">; {say.towards(f.percent(one.shrunken_percent))}</span>
            </p>
            <IntervalRow
              percent={one.infested_percent}
              lower={one.lower_percent}
              upper={one.upper_percent}
              aside={one.shrunken_percent}
              overall={overall}
              max={max}
            />
          </li>
        ))}
      </ol>
      <ShowAll all={all} onAll={setAll} total={held.length} />
    </>
  );
}

/** All figures of the comparison; what lies outside the lines comes first. */
function HeldTable({ held }: { held: readonly Held[] }) {
  const say = words.value.trends.held;
  const f = format.value;
  const speech = { words: words.value, format: f };
  const [all, setAll] = useState(false);
  const outsideFirst = held.toSorted((a, b) => Number(placeOf(a) === 'inside') - Number(placeOf(b) === 'inside') || a.rank - b.rank);
  const columns: Column<Held>[] = [
    { key: 'group', head: say.group, cell: ({ name }) => <span class="held-group">{name}</span> },
    { key: 'share', head: words.value.trends.table.percent, number: true, cell: share },
    {
      key: 'expected',
      head: say.expected,
      number: true,
      cell: (one) => `${f.bounds(one.infested_percent, one.funnel_lower_percent, one.funnel_upper_percent)}\u00a0%`,
    },
    { key: 'where', head: say.where, cell: (one) => <span class="held-word">{say.place[placeOf(one)]}</span> },
    { key: 'differs', head: say.others, cell: ({ differs }) => <span class="held-word">{say.short[differs]}</span> },
    { key: 'adjusted', head: say.adjusted, number: true, cell: (one) => adjustedText(one, speech) },
    { key: 'shrunken', head: say.shrunken, number: true, cell: ({ shrunken_percent: percent }) => f.percent(percent) },
    { key: 'rank', head: say.rank, number: true, cell: ({ rank }) => f.count(rank) },
  ];
  return (
    <>
      <Table caption={say.numbers} columns={columns} rows={all ? outsideFirst : outsideFirst.slice(0, firstShown)} rowKey={({ key }) => key} />
      <ShowAll all={all} onAll={setAll} total={held.length} />
    </>
  );
}

function FunnelView({ held, overall, groups, onPick }: PartProps & { groups: string; onPick: (key: string) => void }) {
  const say = words.value.trends.held;
  const speech = { words: words.value, format: format.value };
  const outside = held.filter((one) => placeOf(one) !== 'inside');
  return (
    <>
      <p class="lead">{say.funnelNote}</p>
      <Funnel
        points={held.map((one) => ({
          key: one.key,
          name: one.name,
          plants: one.plants_looked_at,
          percent: one.infested_percent,
          outside: placeOf(one) !== 'inside',
          text: `${one.name}: ${share(one)}`,
        }))}
        axis={say.plantsAxis}
        onPick={onPick}
        limits={funnelSteps(held)}
        overall={overall}
        max={heldTop(held)}
        label={say.funnelLabel(groups)}
        text={say.funnelText(someNames(outside.map(({ name }) => name), speech, firstShown))}
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
      <More summary={say.numbers}>{() => <HeldTable held={held} />}</More>
    </>
  );
}

/** The groups held against each other: what stands out in words, a ranking and a funnel for those who ask. */
export function HeldAgainst({ state, trends, onOpen }: HeldProps) {
  const { comparison } = trends;
  if (!comparison) return null;
  const say = words.value.trends.held;
  const speech = { words: words.value, format: format.value };
  const held = heldGroups(trends, speech);
  const several = comparison.code === 'known' && held.length > 1;
  const foliage = comparison.foliage ? foliageAnswer(comparison.foliage, speech) : '';
  if (!several && foliage === '' && trends.groups.length < 2) return null;
  const groups = groupsText(held, trends.by, speech);
  const open = (key: string): void => {
    onOpen();
    go(addressOf({ ...state, open: key, week: null, look: null }));
  };
  return (
    <Section title={say.title}>
      {(several || trends.groups.length > 1) && (
        <Answer small>
          <Marked text={comparisonAnswer(comparison, several ? held : [], trends.by, speech)} />
        </Answer>
      )}
      {foliage !== '' && (
        <Answer small>
          <Marked text={foliage} />
        </Answer>
      )}
      {several && (
        <div class="held-more">
          <More summary={say.ranking(held.length)}>{() => <Ranking held={held} overall={comparison.overall_percent} state={state} onOpen={onOpen} />}</More>
          <More summary={say.funnel}>{() => <FunnelView held={held} overall={comparison.overall_percent} groups={groups} onPick={open} />}</More>
        </div>
      )}
    </Section>
  );
}
