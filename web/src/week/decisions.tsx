import type { WeekReading, WeekSection } from '../contract.gen';
import { dateAt, mondayOf } from '../local/zone';
import { Tag } from '../parts';
import { Link } from '../router';
import { Marked } from '../trends/marked';
import { zoneOf } from '../trends/names';
import { addressOf, readState } from '../trends/state';
import { format, words } from '../words';

/** What was decided, and whether it was done. */
export function Decisions({ section, reading }: { section: WeekSection; reading: WeekReading }) {
  const { week: say, advice } = words.value;
  const f = format.value;
  const { decisions } = section;
  const done = decisions.filter(({ decision }) => decision.done_on).length;
  return (
    <section class="week-part week-decisions">
      <h3>{say.decisions}</h3>
      {decisions.length === 0 ? (
        <p class="quiet">{say.noDecisions(f.date(mondayOf(reading.week)))}</p>
      ) : (
        <>
          <p>
            <Marked text={say.decisionsSum(done, decisions.length)} />
          </p>
          <ul>
            {decisions.map(({ decision, cultivar, house }) => (
              <li key={decision.id}>
                <Link
                  to={addressOf({ ...readState(new URLSearchParams()), by: 'cultivar', site: reading.site_id, house: decision.house_id, open: decision.cultivar_id })}
                >
                  {say.decided(advice.choice[decision.choice], cultivar, house)}
                </Link>{' '}
                <Tag strong={!decision.done_on}>{decision.done_on ? say.done(f.date(decision.done_on)) : say.open}</Tag>{' '}
                <span class="quiet">
                  {say.because(decision.because, decision.decided_by.name, f.date(dateAt(decision.decided_at, zoneOf(reading.site_id))))}
                  {decision.done_note && ` ${decision.done_note}`}
                </span>
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
