import { fetchAll, lookTableAddress } from '../api';
import type { Look, TrendBy, TrendPoint, Trends } from '../contract.gen';
import { addDays, mondayOf } from '../local/zone';
import { Button, Loaded, Notice, Section, Table, Tag, useLoad, type Column } from '../parts';
import { go, Link } from '../router';
import { format, words, type Share } from '../words';
import { counts, looksInOrder, openDoubts, resultOf } from './counts';
import { LookDetail } from './look';
import { fetchPlaces, zoneOf, type Names, type Places } from './names';
import { Reveal } from './reveal';
import { allSites, asked, type Narrowing } from './state';

interface LooksProps {
  /** The group and the week that was chosen. */
  by: TrendBy;
  group: string;
  week: string;
  /** What of it was counted. */
  counted: Share & Pick<TrendPoint, 'looks'>;
  /** What the reading is narrowed to; `site` is the one in force. */
  narrowing: Narrowing;
  arrived?: string | null;
  site: string;
  of: Pick<Trends, 'organism_id' | 'season_id'>;
  names: Names;
  /** The look that is opened. */
  look: string | null;
  /** The address with a look opened, or none. */
  at: (look: string | null) => string;
  /** The address without the week. */
  closed: string;
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
      {look.import_id && <Tag>{say.imported}</Tag>}
      {look.withdrawn_because && <Tag>{say.withdrawn}</Tag>}
      {open.length > 0 && <Tag strong>{say.inDoubt(text(open))}</Tag>}
      {settled.length > 0 && <Tag>{say.settled(text(settled))}</Tag>}
    </span>
  );
}

type LookTableProps = Pick<LooksProps, 'of' | 'names' | 'look' | 'at'> & { title: string; looks: Look[]; places: Places };

function LookTable({ title, of, look: opened, at, looks, names, places }: LookTableProps) {
  const { trends: say } = words.value;
  const f = format.value;
  const columns: Column<Look>[] = [
    {
      key: 'block',
      head: say.block,
      cell: (look) => (
        <Link to={at(look.id)} class="look-link" aria-current={look.id === opened ? 'true' : undefined}>
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
        const result = resultOf(look, of.organism_id);
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
export function Looks({ by, group, week, counted: sum, narrowing, arrived = null, site, of, names, look: opened, at, closed }: LooksProps) {
  const { trends: say } = words.value;
  const f = format.value;
  const query = {
    ...asked(narrowing, site),
    ...(arrived !== null && { arrival_week: arrived }),
    by,
    key: group,
    week,
    ...(of.organism_id && { organism_id: of.organism_id }),
    ...(of.season_id && { season_id: of.season_id }),
  };
  const load = useLoad(
    async (signal) => {
      const [looks, places] = await Promise.all([fetchAll('looks', query, signal), fetchPlaces(site === allSites ? null : site, signal)]);
      return { looks, places };
    },
    [of, JSON.stringify(query)],
  );
  const title = say.looksTitle(f.week(week), mondayOf(week), addDays(mondayOf(week), 6));
  return (
    <Reveal when={week}>
      <Section
        title={title}
        lead={say.looksLead(sum.looks, f.share(sum))}
        actions={
          <>
            <a class="btn btn-quiet" href={lookTableAddress(query)} download>
              {say.asTable}
            </a>
            <Button kind="quiet" onClick={() => go(closed, { keepScroll: true })}>
              {say.closeWeek}
            </Button>
          </>
        }
      >
        <Loaded of={load}>
          {(data) => {
            const looks = looksInOrder(data.looks, of.organism_id);
            const counted = looks.filter(counts);
            const plants = counted.reduce((all, look) => all + (resultOf(look, of.organism_id)?.plants_looked_at ?? 0), 0);
            const one = looks.find(({ id }) => id === opened);
            return (
              <>
                {plants !== sum.plants_looked_at && <Notice kind="doubt">{say.looksDiffer}</Notice>}
                {looks.length > counted.length && <p class="quiet">{say.looksMore(looks.length - counted.length)}</p>}
                <LookTable title={title} of={of} look={opened} at={at} looks={looks} names={names} places={data.places} />
                {one && <LookDetail key={one.id} look={one} names={names} places={data.places} closed={at(null)} />}
              </>
            );
          }}
        </Loaded>
      </Section>
    </Reveal>
  );
}
