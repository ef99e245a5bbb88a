import './map.css';

import { useEffect } from 'preact/hooks';

import { client, read } from '../../api';
import type { House, HouseMap } from '../../contract.gen';
import { addDays, mondayOf } from '../../local/zone';
import { percentTop, Series } from '../../marks';
import { commonName } from '../../organism';
import { Answer, ButtonLink, Empty, Loaded, Page, SelectField, useLoad } from '../../parts';
import { go, useRoute } from '../../router';
import { sites } from '../../session';
import { format, words } from '../../words';
import { context } from '../context';
import { Marked } from '../marked';
import { fetchNames, type Names } from '../names';
import { Narrow } from '../narrow';
import { Places } from '../places';
import { useSite } from '../site';
import { allSites } from '../state';
import { mapAnswer } from './answers';
import { blocksIn, latestWeek, weeksOf, type BlockThen } from './blocks';
import { Grid } from './grid';
import { Opened } from './opened';
import { BlockTable } from './table';
import { mapAddress, readMap, type MapState } from './state';

interface BodyProps {
  state: MapState;
  /** The site in force. */
  site: string;
  names: Names;
}

/** The week, moved with the arrow keys or by finger; the address follows. */
function Weeks({ state, weeks, week }: { state: MapState; weeks: readonly string[]; week: string }) {
  const { map: say } = words.value;
  const f = format.value;
  const monday = mondayOf(week);
  const text = say.week(f.week(week), monday, addDays(monday, 6));
  return (
    <div class="map-week">
      <label for="map-week">{say.weekLabel}</label>
      <input
        id="map-week"
        type="range"
        min={0}
        max={weeks.length - 1}
        step={1}
        value={weeks.indexOf(week)}
        aria-valuetext={text}
        onInput={(event) => {
          const to = weeks[Number(event.currentTarget.value)];
          if (to !== undefined) go(mapAddress({ ...state, week: to, look: null }), { replace: true, keepScroll: true });
        }}
      />
      <output for="map-week">{text}</output>
    </div>
  );
}

/** What is drawn: the map and the week of it. */
interface Drawn {
  found: HouseMap;
  weeks: readonly string[];
  week: string;
  blocks: readonly BlockThen[];
}

/** The week asked for, else the latest with a look; undefined when there is nothing to draw. */
function drawnOf(found: HouseMap, asked: string | null): Drawn | undefined {
  const weeks = weeksOf(found);
  const week = weeks.find((one) => one === asked) ?? latestWeek(found);
  return week === undefined ? undefined : { found, weeks, week, blocks: blocksIn(found, week) };
}

function Reading({ state, site, names, drawn: { found, weeks, week, blocks }, organism }: BodyProps & { drawn: Drawn; organism: string }) {
  const { map: say, trends } = words.value;
  const opened = blocks.find(({ block }) => block.block_id === state.block);
  const { on_purpose: onPurpose, withdrawn } = found.left_out;
  return (
    <>
      <Weeks state={state} weeks={weeks} week={week} />
      <Grid state={{ ...state, week }} blocks={blocks} found={found} />
      {opened && <Opened key={`${opened.block.block_id} ${week}`} state={{ ...state, week }} site={site} found={found} names={names} then={opened} week={week} />}
      <BlockTable blocks={blocks} week={week} />
      {found.points.length > 0 && (
        <div class="trend-chart">
          <h2>{say.houseTitle(found.house)}</h2>
          <Series
            points={found.points}
            weeks={weeks}
            max={percentTop(found.points.flatMap((point) => [point.infested_percent, point.upper_percent]))}
            height={180}
            label={trends.seriesLabel(found.house, organism)}
            onPick={(point) => go(mapAddress({ ...state, week: point.week, look: null }), { keepScroll: true })}
          />
          <p class="lead aside-print">{say.pickWeek}</p>
        </div>
      )}
      <footer class="trends-foot">
        <p>{onPurpose + withdrawn > 0 ? trends.leftOut(onPurpose, withdrawn) : trends.noneLeftOut}</p>
        <p>{say.limitNote}</p>
        <p>{say.orderNote}</p>
      </footer>
    </>
  );
}

function byName(a: House, b: House): number {
  return a.name.localeCompare(b.name, undefined, { numeric: true });
}

function Body({ state, site, names }: BodyProps) {
  const { map: say, trends } = words.value;
  const houses = names.houses.filter((house) => site === allSites || house.site_id === site).toSorted(byName);
  const house = houses.find(({ id }) => id === state.house);
  const first = houses[0];
  useEffect(() => {
    // an address without a house: it says from now on which one it is about, so that it can be passed on
    if (!house && first && state.house === null) go(mapAddress({ ...state, house: first.id }), { replace: true, keepScroll: true });
  }, [house, first, state.house]);
  const query = {
    house_id: house?.id ?? '',
    ...(state.organism !== null && (state.organism.includes('-') ? { organism_id: state.organism } : { organism: state.organism })),
    ...(state.season !== null && { season_id: state.season }),
  };
  const question = JSON.stringify(query);
  const load = useLoad(
    async (signal) => ({ question, found: house ? await read(client.GET('/house-map', { params: { query }, signal })) : undefined }),
    [question],
  );
  const waiting = !load.problem && (load.loading || load.data?.question !== question);
  const found = load.data?.question === question || !load.problem ? load.data?.found : undefined;
  const one = names.organisms.find(({ id }) => id === found?.organism_id);
  const organism = one ? commonName(one) : '';
  const kept = { ...state, site, cultivar: null, foliage: null };
  const drawn = found && house && drawnOf(found, state.week);
  return (
    <div class={waiting ? 'trends trends-loading' : 'trends'} aria-busy={waiting}>
      <Page width="wide" title={say.title} above={context(found, organism, found?.site_id ?? site)}>
        <Places narrowing={kept} />
        {drawn && (
          <Answer>
            <Marked text={mapAnswer(drawn.found, drawn.week, drawn.blocks, organism, { words: words.value, format: format.value })} />
          </Answer>
        )}
        <div class="trends-filters">
          <Narrow
            state={kept}
            site={site}
            names={names}
            found={found}
            only={['site', 'organism', 'season']}
            onChange={({ site: to, organism = state.organism, season = state.season }) =>
              go(mapAddress({ ...state, organism, season, ...(to !== undefined && to !== site && { house: null, block: null }), site: to ?? site, look: null }), { keepScroll: true })
            }
          >
            <SelectField
              label={trends.house}
              value={house?.id ?? null}
              onValue={(id) => go(mapAddress({ ...state, house: id, block: null, look: null }), { keepScroll: true })}
              options={houses.map(({ id, name, site_id }) => ({ value: id, label: site === allSites ? `${sites.value.find((one) => one.id === site_id)?.name ?? ''} · ${name}` : name }))}
            />
          </Narrow>
        </div>
        {houses.length === 0 && <Empty title={say.noHouses}>{say.noHousesText}</Empty>}
        {houses.length > 0 && !house && state.house !== null && <Empty title={say.houseGone}>{say.houseGoneText}</Empty>}
        {drawn && <Reading state={{ ...state, site }} site={site} names={names} drawn={drawn} organism={organism} />}
        {found && house && !drawn && (
          <Empty title={say.emptyTitle} action={<ButtonLink to="/walk">{trends.toWalk}</ButtonLink>}>
            {say.empty}
          </Empty>
        )}
        <Loaded of={{ ...load, data: house ? found : null }}>{() => null}</Loaded>
      </Page>
    </div>
  );
}

/** A house drawn as its blocks, week by week. */
export default function MapPage() {
  const state = readMap(useRoute().query);
  const site = useSite(state.site, (to, another) => mapAddress({ ...state, site: to, ...(another && { house: null, block: null, look: null }) }));
  const names = useLoad(fetchNames, []);
  return <Loaded of={names}>{(known) => <Body state={state} site={site} names={known} />}</Loaded>;
}
