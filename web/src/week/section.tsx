import type { WeekReading, WeekSection } from '../contract.gen';
import { addDays, mondayOf, weeksBetween } from '../local/zone';
import { percentTop } from '../marks';
import { Answer, ButtonLink, Empty } from '../parts';
import { Link } from '../router';
import { Marked } from '../trends/marked';
import { mostOf } from '../trends/scale';
import { addressOf as trendsAddress, readState as readTrends } from '../trends/state';
import { format, words } from '../words';
import { Decisions } from './decisions';
import { Due } from './due';
import { Lot } from './lot';
import { limitText, othersText, placesText, sectionAnswer, sharedLimit } from './sentences';
import { addressOf, noSection } from './state';

/** So many lots fit on the printed sheet of a section. */
const printed = 6;

/** What a section is called. */
export function sectionName(section: WeekSection, reading: WeekReading): string {
  const { week: say } = words.value;
  if (section.section_id !== null) return section.name;
  return reading.sections.length === 1 ? say.whole : say.rest;
}

function Lots({ section, reading, organism }: { section: WeekSection; reading: WeekReading; organism: string }) {
  const { week: say } = words.value;
  const speech = { words: words.value, format: format.value };
  const { listed, more_listed: more } = section;
  const shared = sharedLimit(listed);
  const points = listed.flatMap((lot) => lot.points);
  const first = points.map(({ week }) => week).toSorted()[0] ?? reading.week;
  const weeks = weeksBetween(first, reading.week);
  const top = percentTop([mostOf(points.map((point) => point.upper_percent)), ...points.map((point) => point.infested_percent), ...listed.flatMap((lot) => lot.limits.map(({ percent }) => percent * 1.1))]);
  return (
    <section class="week-part">
      <h3>{listed.length + more === 0 ? say.noneTitle : say.listTitle(listed.length + more)}</h3>
      <p class="quiet">
        {listed.length + more === 0 ? say.none : say.listLead} {shared && limitText(shared, speech)}
      </p>
      {listed.length > 0 && (
        <ol class="week-lots">
          {listed.map((lot) => (
            <Lot key={lot.lot_id} lot={lot} advice={reading.advice} site={reading.site_id} organism={organism} weeks={weeks} top={top} ownLimit={shared === null} />
          ))}
        </ol>
      )}
      {listed.length + more > printed && <p class="week-printed quiet">{say.morePrinted(listed.length + more - Math.min(printed, listed.length))}</p>}
      {more > 0 && (
        <p>
          <Link to={trendsAddress({ ...readTrends(new URLSearchParams()), by: 'lot', site: reading.site_id })} class="week-more">
            {say.moreListed(more)}
          </Link>
        </p>
      )}
    </section>
  );
}

function NotWalked({ section, reading }: { section: WeekSection; reading: WeekReading }) {
  const { week: say } = words.value;
  const f = format.value;
  const { latest_week: latest } = reading;
  const to = addressOf({ site: reading.site_id, section: section.section_id ?? noSection, week: latest ?? null });
  return (
    <Empty
      title={say.notWalkedTitle(f.week(reading.week))}
      action={
        <div class="row">
          <ButtonLink to="/walk">{say.toWalk}</ButtonLink>
          {latest !== undefined && latest !== reading.week && <ButtonLink to={to}>{say.seeLatest(f.week(latest))}</ButtonLink>}
        </div>
      }
    >
      <p>{say.notWalked}</p>
      {latest !== undefined && latest !== reading.week && <p>{say.latest(f.week(latest))}</p>}
    </Empty>
  );
}

/** A section: one sentence, the lots that need a person, what was decided, what is due. One sheet of paper. */
export function Section({ section, reading, organism }: { section: WeekSection; reading: WeekReading; organism: string }) {
  const { week: say } = words.value;
  const speech = { words: words.value, format: format.value };
  const name = say.of(sectionName(section, reading), section.grower);
  const missed = section.round.missed;
  return (
    <section class="week-section" aria-label={name}>
      <header class="week-section-head">
        <h2>{name}</h2>
        <p class="week-sheet-week">{say.dates(format.value.week(reading.week), format.value.date(mondayOf(reading.week)), format.value.fullDate(addDays(mondayOf(reading.week), 6)))}</p>
      </header>
      {section.lots > 0 && (
        <>
          <Answer>
            <Marked text={sectionAnswer(section, speech)} />
          </Answer>
          <p>
            {othersText(section, organism, speech)} {missed.length > 0 && say.missedBlocks(placesText(missed, speech))}
          </p>
        </>
      )}
      {section.plants_looked_at === 0 && <NotWalked section={section} reading={reading} />}
      {section.lots > 0 && <Lots section={section} reading={reading} organism={organism} />}
      <Decisions section={section} reading={reading} />
      <Due section={section} reading={reading} />
    </section>
  );
}
