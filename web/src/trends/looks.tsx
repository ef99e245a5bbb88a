import { fetchAll } from '../api';
import type { Look, TrendPoint, Trends } from '../contract.gen';
import { addDays } from '../local/zone';
import { Button, Loaded, Notice, Section, Table, Tag, useLoad, type Column } from '../parts';
import { go, Link } from '../router';
import { format, words } from '../words';
import { counts, looksInOrder, openDoubts, resultOf } from './counts';
import { LookDetail } from './look';
import { fetchPlaces, zoneOf, type Names, type Places } from './names';
import { Reveal } from './reveal';
import { addressOf, allSites, type TrendsState } from './state';

interface LooksProps {
  state: TrendsState;
  site: string;
  trends: Trends;
  point: TrendPoint;
  names: Names;
}

/** House and block of a look: "North 2 · A 07". */
export function blockName(look: Look, names: Names, places: Places): string {
  const block = places.blocks.get(look.block_id);
  const house = names.houses.find(({ id }) => id === look.house_id);
  return [house?.name, block?.name].filter((part) => part !== undefined).join(' · ') || words.value.common.unknown;
}

/** Code and cultivar of the lot of a look. */
export function lotName(look: Look, names: Names, places: Places): string {
  const lot = places.lots.get(look.lot_id ?? '');
  if (!lot) return words.value.trends.lotUnknown;
  const cultivar = names.cultivars.find(({ id }) => id === lot.cultivar_id);
  return [lot.code, cultivar?.name].filter((part) => part !== undefined && part !== null).join(' · ');
}

/** Doubts of a look in words, settled ones apart. */
export function Remarks({ look }: { look: Look }) {
  const { trends: say } = words.value;
  const open = openDoubts(look);
  const settled = look.doubts.filter((doubt) => doubt.settled);
  const text = (doubts: Look['doubts']): string => format.value.list(doubts.map(({ code }) => say.doubt[code]));
  return (
    <span class="remarks">
      {look.purpose === 'on_purpose' && <Tag>{say.onPurpose}</Tag>}
      {look.withdrawn_because && <Tag>{say.withdrawn}</Tag>}
      {open.length > 0 && <Tag strong>{say.inDoubt(text(open))}</Tag>}
      {settled.length > 0 && <Tag>{say.settled(text(settled))}</Tag>}
    </span>
  );
}

function LookTable({ title, state, trends, looks, names, places }: Omit<LooksProps, 'site' | 'point'> & { title: string; looks: Look[]; places: Places }) {
  const { trends: say } = words.value;
  const f = format.value;
  const columns: Column<Look>[] = [
    {
      key: 'block',
      head: say.block,
      cell: (look) => (
        <Link to={addressOf({ ...state, look: look.id })} class="look-link" aria-current={look.id === state.look ? 'true' : undefined}>
          {blockName(look, names, places)}
        </Link>
      ),
    },
    { key: 'lot', head: say.lot, cell: (look) => lotName(look, names, places) },
    {
      key: 'result',
      head: say.result,
      number: true,
      cell: (look) => {
        const result = resultOf(look, trends.organism_id);
        return result ? f.share(result) : '–';
      },
    },
    { key: 'moment', head: say.moment, cell: (look) => <span class="look-moment">{f.moment(look.looked_at, zoneOf(look.site_id))}</span> },
    { key: 'observer', head: say.observer, cell: (look) => look.observer?.name ?? words.value.common.unknown },
    { key: 'remarks', head: say.remarks, cell: (look) => <Remarks look={look} /> },
  ];
  return (
    <Table
      caption={title}
      stack
      columns={columns}
      rows={looks}
      rowKey={(look) => look.id}
      empty={<p class="quiet">{say.noLooksHere}</p>}
    />
  );
}

/** The looks behind one point of a series, and the one that is opened. */
export function Looks({ state, site, trends, point, names }: LooksProps) {
  const { trends: say } = words.value;
  const f = format.value;
  const key = state.open ?? '';
  const load = useLoad(
    async (signal) => {
      const [looks, places] = await Promise.all([
        fetchAll(
          'looks',
          {
            by: trends.by,
            key,
            week: point.week,
            ...(trends.organism_id && { organism_id: trends.organism_id }),
            ...(trends.season_id && { season_id: trends.season_id }),
            ...(site !== allSites && { site_id: site }),
            ...(state.house !== null && { house_id: state.house }),
            ...(state.cultivar !== null && { cultivar_id: state.cultivar }),
          },
          signal,
        ),
        fetchPlaces(site === allSites ? null : site, signal),
      ]);
      return { looks, places };
    },
    [trends, key, point.week, site, state.house, state.cultivar],
  );
  const title = say.looksTitle(f.week(point.week), point.starts_on, addDays(point.starts_on, 6));
  return (
    <Reveal when={point.week}>
      <Section
        title={title}
        lead={say.looksLead(point.looks, f.share(point))}
        actions={
          <Button kind="quiet" onClick={() => go(addressOf({ ...state, week: null, look: null }), { keepScroll: true })}>
            {say.closeWeek}
          </Button>
        }
      >
        <Loaded of={load}>
          {(data) => {
            const looks = looksInOrder(data.looks, trends.organism_id);
            const counted = looks.filter(counts);
            const plants = counted.reduce((sum, look) => sum + (resultOf(look, trends.organism_id)?.plants_looked_at ?? 0), 0);
            const opened = looks.find(({ id }) => id === state.look);
            return (
              <>
                {plants !== point.plants_looked_at && <Notice kind="doubt">{say.looksDiffer}</Notice>}
                {looks.length > counted.length && <p class="quiet">{say.looksMore(looks.length - counted.length)}</p>}
                <LookTable title={title} state={state} trends={trends} looks={looks} names={names} places={data.places} />
                {opened && <LookDetail key={opened.id} state={state} look={opened} names={names} places={data.places} />}
              </>
            );
          }}
        </Loaded>
      </Section>
    </Reveal>
  );
}
