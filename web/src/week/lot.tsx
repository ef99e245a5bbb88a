import type { Advice, WeekLot } from '../contract.gen';
import { Series } from '../marks';
import { Tag } from '../parts';
import { go, Link } from '../router';
import { Marked } from '../trends/marked';
import { More } from '../trends/more';
import { Numbers } from '../trends/numbers';
import { OnScreen } from '../trends/on-screen';
import { addressOf, readState } from '../trends/state';
import { format, words } from '../words';
import { adviceOf, adviceText, chanceSentence, changeText, lotAnswer, placesText } from './sentences';

interface LotProps {
  lot: WeekLot;
  advice: readonly Advice[];
  site: string;
  organism: string;
  weeks: readonly string[];
  top: number;
  /** It is held against another limit than the other lots, so it says which. */
  ownLimit: boolean;
}

/** Where a lot opens in Trends, at its advice or at the looks of a week. */
function trendOf(lot: WeekLot, site: string, week: string | null = null): string {
  return addressOf({ ...readState(new URLSearchParams()), by: 'lot', site, open: lot.lot_id, week });
}

/** One lot: what is known of it, how it changed, what is advised and why, its small trend. */
export function Lot({ lot, advice, site, organism, weeks, top, ownLimit }: LotProps) {
  const { week: say, common } = words.value;
  const speech = { words: words.value, format: format.value };
  const own = adviceOf(lot, advice);
  const chance = chanceSentence(lot, speech);
  const latest = lot.answer.point?.week;
  const name = `${lot.code} ${lot.cultivar}`;
  return (
    <li class="week-lot">
      <div class="week-lot-said">
        <h4>
          <Link to={trendOf(lot, site)}>{name}</Link>
          <Tag strong={lot.concern === 'over'}>{say.concern[lot.concern]}</Tag>
        </h4>
        <p class="quiet">{say.stands(common.plants(lot.standing_plants), placesText(lot.places, speech))}</p>
        <p>
          <Marked text={[lotAnswer(lot, organism, ownLimit, speech), changeText(lot, speech), chance].filter((part) => part !== '').join(' ')} />
        </p>
        {own.map((one) => {
          const { what, because } = adviceText(one, speech);
          return (
            <p key={one.house_id} class="week-advice">
              {say.adviceIn(one.cultivar, one.house)}: <b>{what}</b>. {because}
            </p>
          );
        })}
        <p class="week-links">
          <Link to={trendOf(lot, site)} aria-label={say.advice(name)}>
            {say.trendShort}
          </Link>
          {latest !== undefined && (
            <Link to={trendOf(lot, site, latest)} aria-label={say.looksOf(format.value.week(latest), name)}>
              {say.looksShort(format.value.week(latest))}
            </Link>
          )}
        </p>
      </div>
      <div class="week-lot-trend">
        <OnScreen height="8.5rem">
          {() => (
            <>
              <Series
                points={lot.points}
                limits={lot.limits}
                weeks={weeks}
                max={top}
                height={112}
                label={words.value.trends.seriesLabel(name, organism)}
                onPick={(point) => go(trendOf(lot, site, point.week))}
              />
              <More summary={say.numbers}>
                {() => <Numbers caption={say.numbersOf(name)} group={{ key: lot.lot_id, label: lot.code, lots: 1, points: lot.points, answer: lot.answer, limits: lot.limits }} confidence={95} />}
              </More>
            </>
          )}
        </OnScreen>
      </div>
    </li>
  );
}
