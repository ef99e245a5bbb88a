import type { TrendGroup, TrendPoint, Trends } from '../contract.gen';
import { Series } from '../marks';
import { Answer } from '../parts';
import { Link } from '../router';
import { format, words } from '../words';
import { aheadAnswer, pointsAhead } from './ahead';
import { groupAnswer, groupName, groupNote } from './answers';
import { Marked } from './marked';
import { More } from './more';
import { Numbers } from './numbers';
import { OnScreen } from './on-screen';
import { standingOf } from './order';
import { Standing } from './standing';

interface CardProps {
  group: TrendGroup;
  trends: Trends;
  organism: string;
  weeks: readonly string[];
  top: number;
  /** Where the group opens. */
  to: string;
  onOpen: () => void;
  onPick: (point: TrendPoint) => void;
}

/** One group of the overview: its name, its answer, its chart, its numbers. */
export function Card({ group, trends, organism, weeks, top, to, onOpen, onPick }: CardProps) {
  const speech = { words: words.value, format: format.value };
  const name = groupName(group, trends.by, speech);
  const note = groupNote(group, trends.by, speech);
  const ahead = aheadAnswer(group, trends.by, speech);
  const shown = group.answer.code !== 'no_limit' && group.answer.code !== 'no_looks';
  return (
    <section class="trend-card">
      <header>
        <h2>
          <Link to={to} onClick={onOpen}>
            {name}
          </Link>
        </h2>
        {shown && <Standing code={standingOf(group.answer)} />}
        {note !== '' && <p class="quiet">{note}</p>}
      </header>
      <div class="trend-answer">
        <Answer small>
          <Marked text={groupAnswer(group, trends, organism, speech)} />
        </Answer>
        {ahead !== '' && (
          <p class="trend-ahead">
            <Marked text={ahead} />
          </p>
        )}
      </div>
      <OnScreen height="11rem">
        {() => (
          <>
            <Series
              points={group.points}
              limits={group.limits}
              forecast={pointsAhead(group)}
              weeks={weeks}
              max={top}
              label={words.value.trends.seriesLabel(name, organism)}
              onPick={onPick}
            />
            <More summary={words.value.trends.numbers}>
              {() => <Numbers caption={words.value.trends.numbersOf(name)} group={group} confidence={trends.confidence_percent} onPick={onPick} />}
            </More>
          </>
        )}
      </OnScreen>
    </section>
  );
}
