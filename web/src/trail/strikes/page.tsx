import { client, fetchAll, read } from '../../api';
import type { Rate, Shipment, StrikeGroup, StrikeList } from '../../contract.gen';
import { IntervalRow, percentTop } from '../../marks';
import { Answer, ChoiceField, Empty, Loaded, Page, Section, Table, Tag, useLoad, type Column } from '../../parts';
import { go, Link, withQuery } from '../../router';
import { Marked } from '../../trends/marked';
import { format, words } from '../../words';
import { fetchNames, type Names } from '../names';
import { groupings, trailAddress, type Grouping } from '../state';
import { byCertainLoss, counted, fewPlants, groupName, isThin, rateText, strikesAnswer } from './order';

interface Found {
  strikes: StrikeList;
  names: Names;
  shipments: ReadonlyMap<string, Shipment>;
}

async function fetchStrikes(by: Grouping, signal: AbortSignal): Promise<Found> {
  const [strikes, names, shipments] = await Promise.all([
    read(client.GET('/strikes', { params: { query: { by } }, signal })),
    fetchNames(signal),
    by === 'shipment' ? fetchAll('shipments', {}, signal) : Promise.resolve([]),
  ]);
  return { strikes, names, shipments: new Map(shipments.map((shipment) => [shipment.id, shipment])) };
}

/** A rate in words with its interval under it; thin where it rests on few plants. */
function RateCell({ rate, max }: { rate: Rate; max: number }) {
  const { strikes: say } = words.value.trail;
  const known = counted(rate);
  if (!known) return <span class="quiet">{say.notCounted}</span>;
  const thin = isThin(rate);
  return (
    <div class={thin ? 'strike-rate strike-thin' : 'strike-rate'}>
      <span>
        {rateText(known, { words: words.value, format: format.value })} {thin && <Tag>{say.few}</Tag>}
      </span>
      <IntervalRow percent={known.percent} lower={known.lower_percent} upper={known.upper_percent} max={max} />
    </div>
  );
}

/** Cultivars have no trail of their own; neither has what nobody named. */
function GroupName({ group, by, name }: { group: StrikeGroup; by: Grouping; name: string }) {
  if (by === 'cultivar' || group.key === 'unknown' || group.key === 'mixed') return <>{name}</>;
  return (
    <Link to={trailAddress(by, group.key)} class="trail-link">
      {name}
    </Link>
  );
}

function Groups({ by, found: { strikes, names, shipments } }: { by: Grouping; found: Found }) {
  const { strikes: say } = words.value.trail;
  const speech = { words: words.value, format: format.value };
  const { items } = strikes;
  const nameOf = (group: StrikeGroup): string => groupName(group, by, names, shipments, speech);
  const answer = strikesAnswer(items, nameOf, speech);
  if (answer === '') {
    return (
      <Empty title={say.emptyTitle}>
        <p>{say.empty}</p>
      </Empty>
    );
  }
  const lossTop = percentTop(items.filter(({ loss }) => !isThin(loss)).map(({ loss }) => counted(loss)?.upper_percent ?? 0));
  const columns: Column<StrikeGroup>[] = [
    { key: 'name', head: say.by[by], cell: (group) => <GroupName group={group} by={by} name={nameOf(group)} /> },
    { key: 'lots', head: say.lots, number: true, cell: ({ lots }) => format.value.count(lots) },
    { key: 'loss', head: say.scale(say.loss, format.value.percent(lossTop)), cell: ({ loss }) => <RateCell rate={loss} max={lossTop} /> },
    { key: 'strike', head: say.scale(say.strike, format.value.percent(100)), cell: ({ strike }) => <RateCell rate={strike} max={100} /> },
  ];
  return (
    <>
      <Answer>
        <Marked text={answer} />
      </Answer>
      <Section title={say.by[by]} lead={`${say.order} ${say.thin(fewPlants)}`}>
        <Table caption={say.caption} stack columns={columns} rows={byCertainLoss(items)} rowKey={({ key }) => key} />
        <p class="quiet trail-note">{say.method}</p>
      </Section>
    </>
  );
}

/** Which cuttings root, and which are lost, side by side. */
export function StrikesPage({ by }: { by: Grouping }) {
  const { title, strikes: say } = words.value.trail;
  const load = useLoad(async (signal) => ({ by, ...(await fetchStrikes(by, signal)) }), [by]);
  const found = load.data?.by === by ? load.data : undefined;
  return (
    <Page width="wide" title={say.title} back={{ to: '/trail', label: title }}>
      <div class="trail" aria-busy={load.loading}>
        <p class="lead">{say.lead}</p>
        <ChoiceField
          label={say.byLabel}
          value={by}
          onValue={(next) => go(withQuery('/trail/strikes', { by: next }), { keepScroll: true })}
          options={groupings.map((value) => ({ value, label: say.by[value] }))}
        />
        <Loaded of={{ ...load, data: found }}>{(data) => <Groups by={by} found={data} />}</Loaded>
      </div>
    </Page>
  );
}
