import { client, read } from '../../api';
import type { ArrivalCell, Arrivals, ArrivalWeek, TrendGroup, TrendPoint } from '../../contract.gen';
import { Answer, Button, Loaded, Section, Table, useLoad, type Column } from '../../parts';
import { go, Link } from '../../router';
import { format, words } from '../../words';
import { groupNote } from '../answers';
import { Looks } from '../looks';
import type { Names } from '../names';
import { addressOf, asked, narrowingOf, type TrendsState } from '../state';
import { cellName, cellShare } from './answers';
import { arrivalsAddress, type ArrivalsState } from './state';

interface OpenedProps {
  state: ArrivalsState;
  /** The site in force. */
  site: string;
  found: Arrivals;
  names: Names;
  arrival: ArrivalWeek;
  cell: ArrivalCell;
}

/** A lot of a cell, with what was seen of it in that week. */
interface LotThen {
  group: TrendGroup;
  point: TrendPoint;
}

/** The lots of a cell, the surest high shares first. */
export function lotsThen(groups: readonly TrendGroup[], week: string): LotThen[] {
  return groups
    .flatMap((group) => {
      const point = group.points.find((one) => one.week === week);
      return point ? [{ group, point }] : [];
    })
    .toSorted((a, b) => b.point.lower_percent - a.point.lower_percent || a.group.label.localeCompare(b.group.label, undefined, { numeric: true }));
}

function Lots({ state, site, found, arrival, cell }: Omit<OpenedProps, 'names'>) {
  const { arrivals: say, trends } = words.value;
  const speech = { words: words.value, format: format.value };
  const query = { ...asked(state, site), by: 'lot' as const, arrival_week: arrival.key, ...(found.season_id && { season_id: found.season_id }), ...(found.organism_id && { organism_id: found.organism_id }) };
  const load = useLoad((signal) => read(client.GET('/trends', { params: { query }, signal })), [JSON.stringify(query)]);
  const inTrends: TrendsState = { ...narrowingOf(state), by: 'lot', arrived: arrival.key, interval: null, mixed: null, order: 'known', open: null, week: null, look: null };
  const columns: Column<LotThen>[] = [
    {
      key: 'lot',
      head: say.lot,
      cell: ({ group, point }) => (
        <Link to={addressOf({ ...inTrends, open: group.key, week: point.week })} class="look-link">
          {group.label}
        </Link>
      ),
    },
    { key: 'note', head: trends.by.cultivar, cell: ({ group }) => groupNote(group, 'lot', speech) },
    { key: 'share', head: trends.table.percent, number: true, cell: ({ point }) => format.value.share(point) },
  ];
  return (
    <>
      <Loaded of={load}>
        {({ groups }) => <Table caption={say.lotsTitle} stack columns={columns} rows={lotsThen(groups, cell.point.week)} rowKey={({ group }) => group.key} empty={<p class="quiet">{say.noLots}</p>} />}
      </Loaded>
      <p class="aside-print">
        <Link to={addressOf(inTrends)} class="look-link">
          {say.inTrends}
        </Link>
      </p>
    </>
  );
}

/** One cell of the map opened: its lots, and its looks down to the plants. */
export function Opened({ state, site, found, names, arrival, cell }: OpenedProps) {
  const { arrivals: say } = words.value;
  const closed = arrivalsAddress({ ...state, open: null, week: null, look: null });
  const speech = { words: words.value, format: format.value };
  return (
    <div class="opened">
      <Section
        title={cellName(arrival, cell, speech)}
        actions={
          <Button kind="quiet" onClick={() => go(closed, { keepScroll: true })}>
            {say.close}
          </Button>
        }
      >
        <Answer small>{cellShare(cell, speech)}</Answer>
        <Lots state={state} site={site} found={found} arrival={arrival} cell={cell} />
      </Section>
      <Looks
        by="arrival_week"
        group={arrival.key}
        week={cell.point.week}
        counted={cell.point}
        narrowing={state}
        site={site}
        of={found}
        names={names}
        look={state.look}
        at={(look) => arrivalsAddress({ ...state, look })}
        closed={closed}
      />
    </div>
  );
}
