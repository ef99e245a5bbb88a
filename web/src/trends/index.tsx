import './trends.css';

import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';

import { client, read } from '../api';
import type { Trends as Found } from '../contract.gen';
import { Answer, Details, Loaded, Page, useLoad } from '../parts';
import { go, useRoute } from '../router';
import { chooseSite, selectedSite, sites } from '../session';
import { format, words } from '../words';
import { commonName } from '../organism';
import { groupName, pageAnswer } from './answers';
import { Filters } from './filters';
import { Group } from './group';
import { Marked } from './marked';
import { fetchNames, type Names } from './names';
import { Overview, placeLeft } from './overview';
import { isOfAnother, shownOf } from './shown';
import { addressOf, allSites, originGroupings, readState, refiltered, type TrendsState } from './state';

/** The site in force, and the address and the site of all pages kept in step. */
function useSite(state: TrendsState): string {
  const chosen = selectedSite.value?.id ?? allSites;
  const before = useRef(chosen);
  useEffect(() => {
    if (before.current !== chosen) {
      // chosen in the frame of the page: the address follows
      before.current = chosen;
      if (state.site !== chosen) go(addressOf(refiltered(state, { site: chosen })), { replace: true, keepScroll: true });
    } else if (state.site === null && chosen !== allSites) {
      // an address without a site: it says from now on which one it is about, so that it can be passed on
      go(addressOf({ ...state, site: chosen }), { replace: true, keepScroll: true });
    } else if (state.site !== null && state.site !== chosen && sites.value.some(({ id }) => id === state.site)) {
      // an address that names another site: the frame follows
      before.current = state.site;
      chooseSite(state.site);
    }
  }, [chosen, state.site]);
  return state.site ?? chosen;
}

function narrowed({ by, house, cultivar, organism, season, interval, mixed }: TrendsState, site: string) {
  return {
    by,
    ...(site !== allSites && { site_id: site }),
    ...(house !== null && { house_id: house }),
    ...(cultivar !== null && { cultivar_id: cultivar }),
    ...(organism !== null && (organism.includes('-') ? { organism_id: organism } : { organism })),
    ...(season !== null && { season_id: season }),
    ...(interval !== null && { interval }),
    ...(mixed !== null && originGroupings.includes(by) && { mixed }),
  };
}

/** What was left out, how it was worked out, and what a limit is not. */
function Foot({ trends }: { trends: Found }) {
  const { trends: say } = words.value;
  const { on_purpose: onPurpose, withdrawn } = trends.left_out;
  const { block_correlation: alike } = trends;
  return (
    <footer class="trends-foot">
      {originGroupings.includes(trends.by) && (trends.mixed_plants ?? 0) > 0 && <p>{say.mixedPlants[trends.mixed ?? 'apart'](trends.mixed_plants ?? 0)}</p>}
      <p>{onPurpose + withdrawn > 0 ? say.leftOut(onPurpose, withdrawn) : say.noneLeftOut}</p>
      <p>{say.limitsNote}</p>
      <Details summary={say.workedOut}>
        <p>
          {say.share[trends.interval]} {say.method[trends.interval](format.value.percent(trends.confidence_percent))}
        </p>
        {alike && <p>{(alike.known ? say.correlation.known : say.correlation.standIn)(format.value.number(alike.correlation, 2), alike.blocks)}</p>}
      </Details>
    </footer>
  );
}

function context(trends: Found | undefined, organism: string, site: string): string {
  const say = words.value.trends;
  return [
    organism,
    site === allSites ? say.allSites : sites.value.find(({ id }) => id === site)?.name,
    trends?.season_year === undefined ? undefined : say.seasonYear(trends.season_year, ''),
    trends?.as_of === undefined ? undefined : say.asOf(format.value.fullDate(trends.as_of)),
  ]
    .filter((part) => part !== undefined && part !== '')
    .join(' · ');
}

function Body({ state, site, names, trends }: { state: TrendsState; site: string; names: Names; trends: Found | undefined }) {
  const opened = state.open !== null;
  useLayoutEffect(() => {
    if (opened) scrollTo(0, 0);
    else if (trends) scrollTo(0, placeLeft());
  }, [opened, trends === undefined]);
  const speech = { words: words.value, format: format.value };
  const one = names.organisms.find(({ id }) => id === trends?.organism_id);
  const organism = one ? commonName(one) : '';
  const above = context(trends, organism, site);
  const say = words.value.trends;
  const group = opened ? trends?.groups.find(({ key }) => key === state.open) : undefined;
  if (opened) {
    return (
      <Page
        width="wide"
        title={group ? groupName(group, state.by, speech) : say.by[state.by]}
        above={above}
        back={{ to: addressOf({ ...state, open: null }), label: say.allGroups[state.by] }}
      >
        {group && trends ? <Group key={`${trends.by} ${group.key}`} state={state} site={site} trends={trends} group={group} names={names} organism={organism} /> : trends && <p>{say.groupGone}</p>}
        {trends && <Foot trends={trends} />}
      </Page>
    );
  }
  return (
    <Page width="wide" title={say.title} above={above}>
      {trends && trends.groups.length > 0 && (
        <Answer>
          <Marked text={pageAnswer(trends, organism, speech)} />
        </Answer>
      )}
      <Filters
        state={state}
        site={site}
        names={names}
        trends={trends}
        onChange={(change) => go(addressOf(refiltered({ ...state, site }, change)), { keepScroll: true })}
      />
      {trends && <Overview state={state} trends={trends} organism={organism} />}
      {trends && trends.groups.length > 0 && <Foot trends={trends} />}
    </Page>
  );
}

/** Weekly shares of infested plants per group, opened down to the plants. */
export default function Trends() {
  const state = readState(useRoute().query);
  const site = useSite(state);
  const names = useLoad(fetchNames, []);
  const query = narrowed(state, site);
  const asked = JSON.stringify(query);
  const load = useLoad(async (signal) => ({ asked, trends: await read(client.GET('/trends', { params: { query }, signal })) }), [asked]);
  const trends = shownOf(load, asked, state.by);
  const waiting = load.loading || isOfAnother(load, asked);
  return (
    <div class={waiting ? 'trends trends-loading' : 'trends'} aria-busy={waiting}>
      <Loaded of={names}>{(found) => <Body state={state} site={site} names={found} trends={trends} />}</Loaded>
      <Loaded of={{ ...load, data: trends }}>{() => null}</Loaded>
    </div>
  );
}
