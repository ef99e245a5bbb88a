import './arrivals.css';

import { client, read } from '../../api';
import type { Arrivals, ArrivalWeek } from '../../contract.gen';
import { commonName } from '../../organism';
import { Answer, Details, Empty, Loaded, Page, useLoad } from '../../parts';
import { go, useRoute } from '../../router';
import { format, words } from '../../words';
import { context } from '../context';
import { Marked } from '../marked';
import { fetchNames, type Names } from '../names';
import { Narrow } from '../narrow';
import { Places } from '../places';
import { useSite } from '../site';
import { asked } from '../state';
import { tellingAge } from './ages';
import { ageAnswer } from './answers';
import { Opened } from './cell';
import { Compared } from './compared';
import { Heat } from './heat';
import { arrivalsAddress, arrivalsOf, readArrivals, type ArrivalsState } from './state';

interface BodyProps {
  state: ArrivalsState;
  /** The site in force. */
  site: string;
  names: Names;
  found: Arrivals | undefined;
}

/** What is not in the map, and how it was worked out. */
function Foot({ found }: { found: Arrivals }) {
  const { trends: say, arrivals } = words.value;
  const { on_purpose: onPurpose, withdrawn } = found.left_out;
  const alike = found.block_correlation;
  return (
    <footer class="trends-foot">
      {found.weeks.some(({ mixed }) => mixed) && <p>{arrivals.mixedNote}</p>}
      {(found.unknown_plants ?? 0) > 0 && <p>{arrivals.unknownPlants(found.unknown_plants ?? 0)}</p>}
      <p>{onPurpose + withdrawn > 0 ? say.leftOut(onPurpose, withdrawn) : say.noneLeftOut}</p>
      <Details summary={say.workedOut}>
        <p>
          {say.share.design} {say.method.design(format.value.percent(found.confidence_percent))}
        </p>
        <p>{arrivals.discovery(format.value.percent(found.false_discovery_percent))}</p>
        {alike && <p>{(alike.known ? say.correlation.known : say.correlation.standIn)(format.value.number(alike.correlation, 2), alike.blocks)}</p>}
      </Details>
    </footer>
  );
}

function openedOf({ open, week }: ArrivalsState, { weeks }: Arrivals): { arrival: ArrivalWeek; cell: ArrivalWeek['cells'][number] } | undefined {
  const arrival = weeks.find(({ key }) => key === open);
  const cell = arrival?.cells.find(({ point }) => point.week === week);
  return arrival && cell && { arrival, cell };
}

function Reading({ state, site, names, found, age }: Omit<BodyProps, 'found'> & { found: Arrivals; age: number | undefined }) {
  const opened = openedOf(state, found);
  return (
    <>
      <Heat state={state} found={found} age={age} />
      {opened && <Opened key={`${opened.arrival.key} ${opened.cell.point.week}`} state={state} site={site} found={found} names={names} {...opened} />}
      <Compared state={state} found={found} age={age} />
      <Foot found={found} />
    </>
  );
}

function Body({ state, site, names, found }: BodyProps) {
  const { arrivals: say } = words.value;
  const one = names.organisms.find(({ id }) => id === found?.organism_id);
  const age = state.age ?? (found && tellingAge(found));
  const narrowing = { ...state, site };
  return (
    <Page width="wide" title={say.title} above={context(found, one ? commonName(one) : '', site)}>
      <Places narrowing={narrowing} />
      {found && found.weeks.length > 0 && (
        <Answer>
          <Marked text={ageAnswer(found, age, { words: words.value, format: format.value })} />
        </Answer>
      )}
      <div class="trends-filters">
        <Narrow
          state={state}
          site={site}
          names={names}
          found={found}
          onChange={(change) => go(arrivalsAddress(arrivalsOf(narrowing, change)), { keepScroll: true })}
        />
      </div>
      {found && (found.weeks.length > 0 ? <Reading state={narrowing} site={site} names={names} found={found} age={age} /> : <Empty title={say.emptyTitle}>{say.empty}</Empty>)}
    </Page>
  );
}

/** What arrived in each week by its age, so that different dates are compared when they were as old. */
export default function ArrivalsPage() {
  const state = readArrivals(useRoute().query);
  const site = useSite(state.site, (to, another) => arrivalsAddress(another ? arrivalsOf(state, { site: to }) : { ...state, site: to }));
  const names = useLoad(fetchNames, []);
  const query = asked(state, site);
  const question = JSON.stringify(query);
  const load = useLoad(async (signal) => ({ question, found: await read(client.GET('/arrivals', { params: { query }, signal })) }), [question]);
  const waiting = load.loading || load.data?.question !== question;
  // Figures of another question would be taken for the answer beside a problem.
  const found = load.problem && load.data?.question !== question ? undefined : load.data?.found;
  return (
    <div class={waiting && !load.problem ? 'trends trends-loading' : 'trends'} aria-busy={waiting && !load.problem}>
      <Loaded of={names}>{(known) => <Body state={state} site={site} names={known} found={found} />}</Loaded>
      <Loaded of={{ ...load, data: found }}>{() => null}</Loaded>
    </div>
  );
}
