import './houses.css';

import { useEffect } from 'preact/hooks';

import { client, fetchAll, read } from '../api';
import type { HouseComparison } from '../contract.gen';
import { commonName } from '../organism';
import { Answer, ButtonLink, Details, Empty, Loaded, Page, useLoad } from '../parts';
import { go, useRoute } from '../router';
import { sites } from '../session';
import { Marked } from '../trends/marked';
import { format, words } from '../words';
import { housesAnswer } from './answer';
import { Chart } from './chart';
import { Filters } from './filters';
import { inOrder } from './order';
import { Rows } from './rows';
import { addressOf, questionOf, readState, type HousesState } from './state';

async function fetchNames(signal: AbortSignal) {
  const [seasons, crops, organisms] = await Promise.all([fetchAll('seasons', {}, signal), fetchAll('crops', {}, signal), fetchAll('organisms', {}, signal)]);
  return { seasons, crops, organisms };
}

type Names = Awaited<ReturnType<typeof fetchNames>>;

function above({ organism_id: organism, season_year: year, as_of: day }: HouseComparison, names: Names, { site }: HousesState): string {
  const say = words.value.houses;
  const one = names.organisms.find(({ id }) => id === organism);
  return [
    one && commonName(one),
    site === null ? (sites.value.length > 1 ? say.allSites : sites.value[0]?.name) : sites.value.find(({ id }) => id === site)?.name,
    year === undefined ? undefined : say.seasonYear(year, ''),
    day === undefined ? undefined : say.asOf(format.value.fullDate(day)),
  ]
    .filter((part) => part !== undefined && part !== '')
    .join(' · ');
}

function Found({ state, comparison, names }: { state: HousesState; comparison: HouseComparison; names: Names }) {
  const say = words.value.houses;
  if (!comparison.season_id || comparison.houses.length === 0) {
    return (
      <Empty title={say.emptyTitle} action={<ButtonLink to="/setup">{say.toSetup}</ButtonLink>}>
        <p>{comparison.season_id ? say.empty : say.emptySeason}</p>
      </Empty>
    );
  }
  const looked = comparison.houses.some(({ share }) => share);
  return (
    <>
      {looked ? (
        <Answer>
          <Marked text={housesAnswer(comparison, { words: words.value, format: format.value })} />
        </Answer>
      ) : (
        <Empty title={say.noLooksTitle}>
          <p>{say.noLooks}</p>
        </Empty>
      )}
      <Filters state={state} comparison={comparison} seasons={names.seasons} crops={names.crops} onChange={(change) => go(addressOf({ ...state, ...change }), { keepScroll: true })} />
      <Rows comparison={comparison} houses={inOrder(comparison.houses, state.order)} />
      <Chart comparison={comparison} />
      <footer class="houses-foot">
        <Details summary={say.workedOut}>
          {say.method.map((text) => (
            <p key={text}>{text}</p>
          ))}
        </Details>
      </footer>
    </>
  );
}

/** Sites and houses side by side: which really differ, and which cannot be told apart. */
export default function Houses() {
  const state = readState(useRoute().query);
  const names = useLoad(fetchNames, []);
  const query = questionOf(state);
  const asked = JSON.stringify(query);
  const load = useLoad(async (signal) => ({ asked, comparison: await read(client.GET('/house-comparison', { params: { query }, signal })) }), [asked]);
  const found = load.data?.asked === asked || load.loading ? load.data?.comparison : undefined;
  const week = query.week === 'latest' && load.data?.asked === asked && found?.from_week === found?.to_week ? found?.from_week : undefined;
  useEffect(() => {
    // an address without a week or season: it says from now on which week it is about, so that it can be passed on
    if (week !== undefined && week !== '') go(addressOf({ ...state, week }), { replace: true, keepScroll: true });
  }, [week]);
  return (
    <div class="houses" aria-busy={load.loading || names.loading}>
      <Page width="wide" title={words.value.houses.title} actions={<ButtonLink to="/season">{words.value.houses.toSeason}</ButtonLink>} above={found && names.data ? above(found, names.data, state) : undefined}>
        <Loaded of={names}>{(named) => (found ? <Found state={state} comparison={found} names={named} /> : null)}</Loaded>
        <Loaded of={{ ...load, data: found }}>{() => null}</Loaded>
      </Page>
    </div>
  );
}
