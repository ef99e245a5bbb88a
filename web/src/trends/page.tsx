import { useLayoutEffect } from 'preact/hooks';

import { client, read } from '../api';
import type { Trends as Found } from '../contract.gen';
import { Answer, Details, Loaded, Page, useLoad } from '../parts';
import { go, useRoute } from '../router';
import { format, words } from '../words';
import { commonName } from '../organism';
import { groupName, pageAnswer } from './answers';
import { context } from './context';
import { Filters } from './filters';
import { Group } from './group';
import { Marked } from './marked';
import { fetchNames, type Names } from './names';
import { Overview, placeLeft } from './overview';
import { Places } from './places';
import { isOfAnother, shownOf } from './shown';
import { useSite } from './site';
import { addressOf, asked, originGroupings, readState, refiltered, type TrendsState } from './state';

function questionOf(state: TrendsState, site: string) {
  const { by, arrived, interval, mixed } = state;
  return {
    by,
    ...asked(state, site),
    ...(arrived !== null && { arrival_week: arrived }),
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
      <Places narrowing={{ ...state, site }} />
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
export function TrendsPage() {
  const state = readState(useRoute().query);
  const site = useSite(state.site, (to, another) => addressOf(another ? refiltered(state, { site: to }) : { ...state, site: to }));
  const names = useLoad(fetchNames, []);
  const query = questionOf(state, site);
  const question = JSON.stringify(query);
  const load = useLoad(async (signal) => ({ asked: question, trends: await read(client.GET('/trends', { params: { query }, signal })) }), [question]);
  const trends = shownOf(load, question, state.by);
  const waiting = load.loading || isOfAnother(load, question);
  return (
    <div class={waiting ? 'trends trends-loading' : 'trends'} aria-busy={waiting}>
      <Loaded of={names}>{(found) => <Body state={state} site={site} names={found} trends={trends} />}</Loaded>
      <Loaded of={{ ...load, data: trends }}>{() => null}</Loaded>
    </div>
  );
}
