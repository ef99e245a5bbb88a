import type { Arrivals } from '../../contract.gen';
import { IntervalRow, IntervalScale, percentTop } from '../../marks';
import { Section, Tag } from '../../parts';
import { Link } from '../../router';
import { format, words } from '../../words';
import { heldTop } from '../compare';
import { weekAt } from './ages';
import { shortName } from './answers';
import { arrivalsAddress, type ArrivalsState } from './state';

/** The arrivals of one age against each other, the surest high shares first. */
export function Compared({ state, found, age }: { state: ArrivalsState; found: Arrivals; age: number | undefined }) {
  const { arrivals: say, trends } = words.value;
  const f = format.value;
  const speech = { words: words.value, format: f };
  const at = found.ages.find(({ age_weeks: weeks }) => weeks === age);
  if (!at || at.code === 'cannot_say') return null;
  const max = percentTop([heldTop(at.groups)]);
  return (
    <Section title={say.compareTitle(at.age_weeks)} lead={say.compareLead(f.percent(max))}>
      <div class="held-scale">
        <IntervalScale max={max} write={f.percent} />
      </div>
      <ol class="held-list">
        {at.groups.toSorted((a, b) => a.rank - b.rank).map((one) => (
          <li key={one.key} value={one.rank}>
            <span class="held-rank" aria-hidden="true">
              {f.count(one.rank)}
            </span>
            <p class="held-name">
              <span class="aside-only">{trends.held.ranked(one.rank)}: </span>
              <Link to={arrivalsAddress({ ...state, open: one.key, week: weekAt({ week: one.key }, at.age_weeks), look: null })}>{shortName(one.key, speech)}</Link>
              {one.differs !== 'no' && <Tag strong={one.differs === 'higher'}>{say.differs[one.differs]}</Tag>}
            </p>
            <p class="held-share">{f.share(one)}</p>
            <IntervalRow percent={one.infested_percent} lower={one.lower_percent} upper={one.upper_percent} overall={at.overall_percent} max={max} />
          </li>
        ))}
      </ol>
    </Section>
  );
}
