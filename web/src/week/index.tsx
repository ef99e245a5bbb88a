import '../trends/trends.css';
import './week.css';

import { useEffect, useRef } from 'preact/hooks';

import { client, fetchAll, read } from '../api';
import type { Organism, WeekReading } from '../contract.gen';
import { addDays, mondayOf, weekOf } from '../local/zone';
import { commonName } from '../organism';
import { Button, ButtonLink, Empty, Loaded, Page, useLoad } from '../parts';
import { go, Link, useRoute } from '../router';
import { canRecord, chooseSite, selectedSite, session, sites } from '../session';
import { format, words } from '../words';
import { CalendarPart } from './calendar';
import { LettersPart } from './letters';
import { Section, sectionName } from './section';
import { addressOf, allSections, noSection, readState, sectionOf, shownSections, type WeekState } from './state';

interface Answered {
  reading: WeekReading;
  /** What was asked; a section of null means that all of them are listed. */
  site: string;
  section: string | null;
  week: string | null;
  at: number;
}

/** Whether an answer holds what a state asks for. */
function answers({ reading, section, site, week }: Answered, state: WeekState, of: string): boolean {
  const listed = section === null || section === state.section;
  return site === of && listed && (state.week === week || state.week === reading.week);
}

/** An answer serves for so long, in ms, for other views of the same week. */
const fresh = 60_000;

function Weeks({ reading, state }: { reading: WeekReading; state: WeekState }) {
  const { week: say } = words.value;
  const f = format.value;
  const step = (weeks: number): string => weekOf(addDays(mondayOf(reading.week), 7 * weeks));
  const to = (week: string | null): string => addressOf({ ...state, week });
  const [before, after] = [step(-1), step(1)];
  return (
    <nav class="week-steps" aria-label={say.step}>
      <Link to={to(before)} aria-label={say.before(f.week(before))}>
        <span aria-hidden="true">← </span>
        {f.week(before)}
      </Link>
      {after <= reading.present_week && (
        <Link to={to(after)} aria-label={say.after(f.week(after))}>
          {f.week(after)}
          <span aria-hidden="true"> →</span>
        </Link>
      )}
      {!reading.advice_holds && <Link to={to(null)}>{say.toPresent}</Link>}
    </nav>
  );
}

/** Which week is shown, and why. */
function Which({ reading }: { reading: WeekReading }) {
  const { week: say } = words.value;
  const f = format.value;
  const monday = mondayOf(reading.week);
  const [blocks, done] = reading.sections.reduce(([all, some], { plan }) => [all + plan.blocks, some + plan.blocks_done], [0, 0]);
  const present = reading.week === reading.present_week;
  return (
    <p class="week-which">
      <b>{say.dates(f.week(reading.week), f.date(monday), f.date(addDays(monday, 6)))}.</b>{' '}
      {present ? say.presentRound : reading.advice_holds ? say.lastRound(f.week(reading.present_week), f.of(done, blocks)) : say.asked}
    </p>
  );
}

function Sections({ reading, state }: { reading: WeekReading; state: WeekState }) {
  const { week: say } = words.value;
  if (reading.sections.length < 2) return null;
  const one = (key: string, name: string) => (
    <li key={key}>
      <Link to={addressOf({ ...state, section: key })} aria-current={state.section === key ? 'page' : undefined}>
        {name}
      </Link>
    </li>
  );
  return (
    <nav class="week-sections" aria-label={say.sections}>
      <ul>
        {reading.sections.map((section) => {
          const name = sectionName(section, reading);
          return one(section.section_id ?? noSection, section.grower_id !== null && section.grower_id === session.value?.person.id ? say.mine(name) : name);
        })}
        {one(allSections, say.all)}
      </ul>
    </nav>
  );
}

function Nothing() {
  const { week: say } = words.value;
  return (
    <Empty title={say.emptyTitle} action={<ButtonLink to="/dock">{say.toDock}</ButtonLink>}>
      <p>{say.empty}</p>
    </Empty>
  );
}

function Body({ reading, organisms, state }: { reading: WeekReading; organisms: readonly Organism[]; state: WeekState }) {
  const organism = organisms.find(({ id }) => id === reading.organism_id);
  const shown = shownSections(reading, state.section);
  if (reading.organism_id === null || reading.season_id === null) return <Nothing />;
  return (
    <>
      <Which reading={reading} />
      <div class="week-choices">
        <Weeks reading={reading} state={state} />
        <Sections reading={reading} state={state} />
      </div>
      {shown.map((section) => (
        <Section key={section.section_id ?? noSection} section={section} reading={reading} organism={commonName(organism)} />
      ))}
    </>
  );
}

/** A grower's day begins here and goes on where there is no network: the day's round comes to the phone meanwhile. */
async function readyForWalk(site: string, abort: AbortSignal): Promise<void> {
  try {
    const { loadDaybook } = await import('../walk/daybook-store');
    await loadDaybook(site, abort);
  } catch {
    // Walk asks again, and says so
  }
}

/** What a week says, section by section: the grower's Monday in two minutes. */
export default function Week() {
  const { week: say } = words.value;
  const state = readState(useRoute().query);
  const chosen = selectedSite.value?.id ?? null;
  const before = useRef(chosen);
  const site = state.site ?? chosen;
  const last = useRef<Answered | null>(null);
  const organisms = useLoad((signal) => fetchAll('organisms', {}, signal), []);
  const load = useLoad(
    async (signal): Promise<Answered | null> => {
      if (site === null) return null;
      if (last.current !== null && Date.now() - last.current.at < fresh && answers(last.current, state, site)) return last.current;
      const section = state.section === null || state.section === allSections || state.section === noSection ? null : state.section;
      const query = { site_id: site, ...(section !== null && { section_id: section }), ...(state.week !== null && { week: state.week }) };
      last.current = { reading: await read(client.GET('/week', { params: { query }, signal })), site, section, week: state.week, at: Date.now() };
      return last.current;
    },
    [site, state.section, state.week],
  );
  const { data } = load;

  useEffect(() => {
    if (before.current !== chosen) {
      // chosen in the frame of the page: the address follows, with no section of the other site
      before.current = chosen;
      if (state.site !== chosen) go(addressOf({ site: chosen, section: null, week: state.week }), { replace: true });
    } else if (state.site !== null && state.site !== chosen && sites.value.some(({ id }) => id === state.site)) {
      before.current = state.site;
      chooseSite(state.site);
    }
  }, [chosen, state.site]);

  useEffect(() => {
    // An address that leaves something open says from now on what it shows, so that it can be passed on.
    if (!data || load.loading || site === null || !answers(data, state, site)) return;
    const whole = { site, section: state.section ?? sectionOf(data.reading, session.value?.person.id), week: state.week ?? data.reading.week };
    if (addressOf(whole) !== addressOf(state)) go(addressOf(whole), { replace: true, keepScroll: true });
  }, [data, load.loading, state.site, state.section, state.week]);

  useEffect(() => {
    if (!data || site === null || !canRecord(site)) return undefined;
    const abort = new AbortController();
    void readyForWalk(site, abort.signal);
    return () => abort.abort();
  }, [data === undefined, site]);

  return (
    <Page
      width="wide"
      title={say.title}
      above={sites.value.find(({ id }) => id === site)?.name}
      actions={<Button onClick={() => print()}>{say.print}</Button>}
    >
      <div class="week" aria-busy={load.loading}>
        <Loaded of={organisms}>
          {(names) => (
            <Loaded of={load}>
              {(answered) =>
                answered ? (
                  <>
                    <Body reading={answered.reading} organisms={names} state={state} />
                    <LettersPart key={`${answered.site} ${state.section ?? ''}`} reading={answered.reading} section={state.section} />
                  </>
                ) : (
                  <Nothing />
                )
              }
            </Loaded>
          )}
        </Loaded>
        {site !== null && canRecord(site) && <CalendarPart key={site} site={site} name={sites.value.find(({ id }) => id === site)?.name ?? ''} />}
      </div>
    </Page>
  );
}
