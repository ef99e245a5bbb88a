import type { Hold, LabSample, Trail, TrailExit, TrailShipment } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import { Section, Table, type Column } from '../../parts';
import { sites } from '../../session';
import { Marked } from '../../trends/marked';
import { format, words } from '../../words';
import { houseName, houseOf, nameIn, zoneOf, type Names } from '../names';
import { standingNow, type Standing } from '../where';
import { discards, type Discard } from './discards';
import type { Reach } from './read';

interface PartProps {
  reach: Reach;
}

function useLots({ trail }: Reach): { code: (id: string) => string; dayOf: (moment: string, lotId: string) => string } {
  const lots = new Map([...trail.lots, ...trail.cannot_rule_out].map((lot) => [lot.lot_id, lot]));
  return {
    code: (id) => lots.get(id)?.code ?? words.value.common.unknown,
    dayOf: (moment, lotId) => format.value.fullDate(dateAt(moment, zoneOf(lots.get(lotId)?.site_id))),
  };
}

interface HouseNow {
  id: string;
  name: string;
  standing: Standing[];
}

/** Where the plants are now, house by house with their blocks. */
export function Places({ reach: { trail, names } }: PartProps) {
  const { reach: say } = words.value.trail;
  const f = format.value;
  const codes = new Map(trail.lots.map((lot) => [lot.lot_id, lot.code]));
  const houses = new Map<string, HouseNow>();
  for (const one of standingNow(trail.placements)) {
    const id = houseOf(names, one.blockId);
    const house = houses.get(id) ?? { id, name: houseName(names, id), standing: [] };
    house.standing.push(one);
    houses.set(id, house);
  }
  const inOrder = (a: string, b: string): number => a.localeCompare(b, undefined, { numeric: true });
  const blockOf = ({ blockId }: Standing): string => nameIn(names.blocks, blockId);
  const columns: Column<HouseNow>[] = [
    { key: 'house', head: say.house, cell: ({ name }) => name },
    { key: 'plants', head: say.plants, number: true, cell: ({ standing }) => f.count(standing.reduce((sum, { plants }) => sum + plants, 0)) },
    {
      key: 'blocks',
      head: say.blocks,
      cell: ({ standing }) =>
        standing
          .toSorted((a, b) => inOrder(blockOf(a), blockOf(b)))
          .map((one) => say.inBlock(blockOf(one), f.count(one.plants), codes.get(one.lotId) ?? ''))
          .join('; '),
    },
  ];
  return (
    <Section title={say.places}>
      <Table caption={say.placesCaption} columns={columns} rows={[...houses.values()].toSorted((a, b) => inOrder(a.name, b.name))} rowKey={({ id }) => id} empty={<p>{say.noPlaces}</p>} />
    </Section>
  );
}

/** A paper number, and whether it was done against a hold. */
function paperText({ paper_number: paper, while_held: whileHeld }: TrailExit): string {
  const { reach: say, events } = words.value.trail;
  return (paper ?? say.noPaper) + (whileHeld === true ? ` (${events.whileHeld})` : '');
}

/** Who got plants, with the numbers of the delivery notes. */
export function Customers({ reach }: PartProps) {
  const { reach: say } = words.value.trail;
  const { code, dayOf } = useLots(reach);
  const columns: Column<TrailExit>[] = [
    { key: 'customer', head: say.customer, cell: (exit) => nameIn(reach.names.customers, exit.customer_id) },
    { key: 'date', head: say.date, cell: ({ at, lot_id: lot }) => dayOf(at, lot) },
    { key: 'lot', head: say.lot, cell: ({ lot_id: lot }) => code(lot) },
    { key: 'plants', head: say.plants, number: true, cell: ({ plants }) => format.value.count(plants) },
    { key: 'paper', head: say.paper, cell: paperText },
  ];
  const rows = reach.trail.exits.filter(({ kind }) => kind === 'dispatch');
  return (
    <Section title={say.customers}>
      <Table caption={say.customersCaption} columns={columns} rows={rows} rowKey={({ movement_id: id }) => id} empty={<p>{say.noCustomers}</p>} />
    </Section>
  );
}

/** What was discarded, and by which record it was destroyed. */
export function Destroyed({ reach }: PartProps) {
  const { reach: say } = words.value.trail;
  const { code, dayOf } = useLots(reach);
  const rows = discards(reach.trail.exits);
  const sum = (some: readonly Discard[]): number => some.reduce((total, { plants }) => total + plants, 0);
  const columns: Column<Discard>[] = [
    { key: 'lot', head: say.lot, cell: ({ lotId }) => code(lotId) },
    { key: 'plants', head: say.plants, number: true, cell: ({ plants }) => format.value.count(plants) },
    { key: 'date', head: say.date, cell: ({ first, last, lotId }) => [...new Set([dayOf(first, lotId), dayOf(last, lotId)])].join(' – ') },
    { key: 'reason', head: say.reason, cell: ({ reasons }) => (reasons.length > 0 ? reasons.join(', ') : '–') },
    { key: 'record', head: say.record, cell: ({ record, whileHeld }) => (record === '' ? say.noPaper : record) + (whileHeld ? ` (${words.value.trail.events.whileHeld})` : '') },
  ];
  return (
    <Section title={say.destroyed}>
      {rows.length > 0 && (
        <p>
          <Marked text={say.destroyedLead(words.value.common.plants(sum(rows)), format.value.count(sum(rows.filter(({ record }) => record !== ''))))} />
        </p>
      )}
      <Table caption={say.destroyedCaption} columns={columns} rows={rows} rowKey={({ key }) => key} empty={<p>{say.noDestroyed}</p>} />
    </Section>
  );
}

/** What keeps these plants where they are. */
export function Holds({ reach }: PartProps) {
  const { reach: say, shipmentOf } = words.value.trail;
  const { trail, names } = reach;
  const { code } = useLots(reach);
  const zone = zoneOf(trail.lots[0]?.site_id);
  const on = ({ scope, scope_id: id }: Hold): string => {
    const shipment = trail.shipments.find((one) => one.shipment_id === id);
    const name = {
      lot: () => code(id),
      shipment: () => (shipment ? shipmentOf(nameIn(names.suppliers, shipment.supplier_id), format.value.date(shipment.arrived_on)) : words.value.common.unknown),
      crop: () => '',
      house: () => houseName(names, id),
      site: () => sites.value.find((site) => site.id === id)?.name ?? words.value.common.unknown,
    }[scope]();
    return say.scope[scope](name);
  };
  const columns: Column<Hold>[] = [
    { key: 'on', head: say.on, cell: on },
    { key: 'kind', head: say.kind, cell: ({ kind }) => say.holdKind[kind] },
    { key: 'from', head: say.from, cell: ({ from_at: from }) => format.value.moment(from, zone) },
    { key: 'reason', head: say.reason, cell: ({ reason }) => reason },
    { key: 'paper', head: say.paper, cell: ({ paper_number: paper }) => paper ?? say.noPaper },
  ];
  const broken = trail.exits.filter((exit) => exit.while_held).length;
  return (
    <Section title={say.holds}>
      <Table caption={say.holdsCaption} columns={columns} rows={reach.holds} rowKey={({ id }) => id} empty={<p>{say.noHolds}</p>} />
      {broken > 0 && (
        <p>
          <Marked text={say.whileHeld(broken)} />
        </p>
      )}
    </Section>
  );
}

/** What was sent to a laboratory, and what came back. */
export function Samples({ reach }: PartProps) {
  const { reach: say } = words.value.trail;
  const { code, dayOf } = useLots(reach);
  const result = ({ result: found, result_on: on, report_number: report }: LabSample): string => {
    const said = say.results[found ?? 'waiting'];
    return [on ? say.resultOf(said, format.value.fullDate(on)) : said, report ? say.report(report) : ''].filter((text) => text !== '').join(', ');
  };
  const columns: Column<LabSample>[] = [
    { key: 'sample', head: say.sample, cell: ({ sample_number: number }) => number ?? say.noPaper },
    { key: 'lot', head: say.lot, cell: ({ lot_id: lot }) => code(lot) },
    { key: 'taken', head: say.taken, cell: ({ taken_at: at, lot_id: lot }) => dayOf(at, lot) },
    { key: 'plants', head: say.plants, number: true, cell: ({ plants }) => (typeof plants === 'number' ? format.value.count(plants) : '–') },
    { key: 'laboratory', head: say.laboratory, cell: ({ laboratory }) => laboratory ?? '–' },
    { key: 'for', head: say.lookedFor, cell: ({ looked_for: what }) => what ?? '–' },
    { key: 'result', head: say.result, cell: result },
  ];
  return (
    <Section title={say.samples}>
      <Table caption={say.samplesCaption} columns={columns} rows={reach.samples} rowKey={({ id }) => id} empty={<p>{say.noSamples}</p>} />
    </Section>
  );
}

/** The papers of every shipment that these plants, or the lots they were made of, came with. */
export function Papers({ trail, origins, names }: { trail: Trail; origins?: Trail; names: Names }) {
  const { reach: say, shipmentOf } = words.value.trail;
  const shipments = new Map([...trail.shipments, ...(origins?.shipments ?? [])].map((one) => [one.shipment_id, one]));
  const lots = new Map([...trail.lots, ...(origins?.lots ?? [])].map((lot) => [lot.lot_id, lot]));
  const columns: Column<TrailShipment>[] = [
    { key: 'shipment', head: say.shipment, cell: (one) => shipmentOf(nameIn(names.suppliers, one.supplier_id), format.value.fullDate(one.arrived_on)) },
    { key: 'lots', head: say.lots, cell: (one) => format.value.list([...lots.values()].filter((lot) => lot.shipment_id === one.shipment_id).map((lot) => lot.code)) },
    {
      key: 'papers',
      head: say.papersHead,
      cell: ({ papers }) => (papers.length === 0 ? say.noPapers : papers.map(({ kind, number }) => `${say.paperKind[kind]} ${number}`).join('; ')),
    },
  ];
  return (
    <Section title={say.papers}>
      <Table caption={say.papersCaption} columns={columns} rows={[...shipments.values()]} rowKey={({ shipment_id: id }) => id} empty={<p>{say.noPapers}</p>} />
    </Section>
  );
}
