import type { Hold, LabSample, TrailExit, TrailShipment } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import { Section, Table, type Column } from '../../parts';
import { sites } from '../../session';
import { Marked } from '../../trends/marked';
import { format, words } from '../../words';
import { blockName, houseName, nameIn, zoneOf } from '../names';
import { standingNow, type Standing } from '../where';
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

/** Where the plants are now, block by block. */
export function Places({ reach }: PartProps) {
  const { reach: say } = words.value.trail;
  const { code, dayOf } = useLots(reach);
  const rows = standingNow(reach.trail.placements)
    .map((standing) => ({ ...standing, place: blockName(reach.names, standing.blockId) }))
    .toSorted((a, b) => a.place.localeCompare(b.place, undefined, { numeric: true }) || b.plants - a.plants);
  const columns: Column<Standing & { place: string }>[] = [
    { key: 'block', head: say.block, cell: ({ place }) => place },
    { key: 'lot', head: say.lot, cell: ({ lotId }) => code(lotId) },
    { key: 'plants', head: say.plants, number: true, cell: ({ plants }) => format.value.count(plants) },
    { key: 'since', head: say.since, cell: ({ since, lotId }) => dayOf(since, lotId) },
  ];
  return (
    <Section title={say.places}>
      <Table caption={say.placesCaption} columns={columns} rows={rows} rowKey={({ lotId, blockId }) => `${lotId} ${blockId}`} empty={<p>{say.noPlaces}</p>} />
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
  const rows = reach.trail.exits.filter(({ kind }) => kind === 'discard');
  const sum = (exits: readonly TrailExit[]): number => exits.reduce((total, { plants }) => total + plants, 0);
  const columns: Column<TrailExit>[] = [
    { key: 'date', head: say.date, cell: ({ at, lot_id: lot }) => dayOf(at, lot) },
    { key: 'lot', head: say.lot, cell: ({ lot_id: lot }) => code(lot) },
    { key: 'plants', head: say.plants, number: true, cell: ({ plants }) => format.value.count(plants) },
    { key: 'reason', head: say.reason, cell: ({ reason }) => reason ?? '–' },
    { key: 'record', head: say.record, cell: paperText },
  ];
  return (
    <Section title={say.destroyed}>
      {rows.length > 0 && (
        <p>
          <Marked text={say.destroyedLead(words.value.common.plants(sum(rows)), format.value.count(sum(rows.filter(({ paper_number: paper }) => paper))))} />
        </p>
      )}
      <Table caption={say.destroyedCaption} columns={columns} rows={rows} rowKey={({ movement_id: id }) => id} empty={<p>{say.noDestroyed}</p>} />
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

/** The papers every shipment came with. */
export function Papers({ reach }: PartProps) {
  const { reach: say, shipmentOf } = words.value.trail;
  const { trail, names } = reach;
  const columns: Column<TrailShipment>[] = [
    { key: 'shipment', head: say.shipment, cell: (one) => shipmentOf(nameIn(names.suppliers, one.supplier_id), format.value.fullDate(one.arrived_on)) },
    { key: 'lots', head: say.lots, cell: (one) => format.value.list(trail.lots.filter((lot) => lot.shipment_id === one.shipment_id).map((lot) => lot.code)) },
    {
      key: 'papers',
      head: say.papersHead,
      cell: ({ papers }) =>
        papers.length === 0
          ? say.noPapers
          : papers.map(({ kind, number }) => (
              <span key={`${kind} ${number}`} class="trail-line">
                {say.paperKind[kind]} {number}
              </span>
            )),
    },
  ];
  return (
    <Section title={say.papers}>
      <Table caption={say.papersCaption} columns={columns} rows={trail.shipments} rowKey={({ shipment_id: id }) => id} empty={<p>{say.noPapers}</p>} />
    </Section>
  );
}
