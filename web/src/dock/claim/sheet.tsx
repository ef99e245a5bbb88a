import type { Claim, ClaimItem } from '../../contract.gen';
import { Facts, Table, Tag } from '../../parts';
import { session, sites } from '../../session';
import { dateAt } from '../../local/zone';
import { format, words } from '../../words';
import { cultivarName, supplierName } from '../shared/names';
import { zoneOf } from '../shared/site';
import { coolest, warmest } from '../shared/temperature';
import { claimedLots, upToSending, type Found } from './found';
import { observersOf } from './observers';
import { CountsTable, FindingsTable } from './sheet-tables';
import { SheetPart } from './sheet-part';
import { photosOf, SheetPhotos } from './sheet-photos';

function Items({ claim, found }: { claim: Claim; found: Found }) {
  const { claim: said } = words.value.dock;
  const f = format.value;
  const items = claim.items ?? [];
  const lotOf = ({ lot_id: id }: ClaimItem) => found.lots.find((lot) => lot.id === id);
  return (
    <SheetPart title={said.sheet.items}>
      {items.length > 0 && (
        <Table
          caption={said.sheet.items}
          stack
          rows={items.map((item, i) => ({ item, key: String(i), lot: lotOf(item) }))}
          rowKey={({ key }) => key}
          columns={[
            { key: 'what', head: said.fault, cell: ({ item }) => said.what[item.what] },
            { key: 'lot', head: said.lot, cell: ({ item, lot }) => (lot ? <span class="claim-code">{lot.code}</span> : item.lot_id ? words.value.common.unknown : said.wholeShipment) },
            { key: 'cultivar', head: said.sheet.cultivar, cell: ({ lot }) => (lot ? cultivarName(found.names, lot.cultivar_id) : '–') },
            { key: 'code', head: said.sheet.supplierLotCode, cell: ({ lot }) => lot?.supplier_lot_code ?? '–' },
            { key: 'plants', head: said.plants, number: true, cell: ({ item }) => (item.plants ? f.count(item.plants) : '–') },
            { key: 'note', head: said.note, cell: ({ item }) => item.note ?? '' },
          ]}
        />
      )}
      {claim.text && <p class="claim-text">{claim.text}</p>}
    </SheetPart>
  );
}

function Shipment({ claim, found: { shipment, names } }: { claim: Claim; found: Found }) {
  const { shipment: said, claim: say } = words.value.dock;
  const f = format.value;
  const zone = zoneOf(shipment.site_id);
  const moment = (at: string | null | undefined) => (at ? f.moment(at, zone) : null);
  const { left_at: left, docked_at: docked } = shipment;
  const closes = shipment.claim_closes_at;
  const over = closes && claim.sent_at ? Date.parse(claim.sent_at) - Date.parse(closes) : null;
  return (
    <SheetPart title={say.sheet.shipment}>
      <Facts
        items={[
          { term: said.supplier, value: supplierName(names, shipment.supplier_id) },
          ...(shipment.papers ?? []).map(({ kind, number }) => ({ term: said.paper[kind], value: number })),
          { term: said.expectedOn, value: f.weekday(shipment.expected_on) },
          { term: said.leftAt, value: moment(left) },
          { term: said.landedAt, value: moment(shipment.landed_at) },
          { term: said.dockedAt, value: moment(docked) ?? said.notHere },
          { term: said.openedAt, value: moment(shipment.opened_at) },
          { term: said.onTheWay, value: left && docked ? said.onTheWayFor(f.span(Date.parse(docked) - Date.parse(left))) : null },
          { term: say.sheet.claimBy, value: moment(closes) },
          {
            term: say.sheet.sent,
            value: claim.sent_at ? (
              <>
                {say.sheet.sentIn(f.moment(claim.sent_at, zone), claim.sent_by ?? '')}
                {over !== null && `, ${over > 0 ? say.sheet.late(f.span(over)) : say.sheet.inTime}`}
              </>
            ) : null,
          },
          { term: said.note, value: shipment.note || null },
        ]}
      />
    </SheetPart>
  );
}

function Boxes({ found: { shipment } }: { found: Found }) {
  const { shipment: said, claim } = words.value.dock;
  const say = claim.sheet;
  const f = format.value;
  const zone = zoneOf(shipment.site_id);
  const boxes = shipment.boxes ?? [];
  const measured = boxes.flatMap(({ temperature_c: degrees }) => (typeof degrees === 'number' ? [degrees] : []));
  const marked = measured.some((degrees) => degrees > warmest || degrees < coolest);
  return (
    <SheetPart title={say.boxes}>
      <p>
        {measured.length === 0
          ? say.boxesUnmeasured
          : say.boxesMeasured(f.of(measured.length, boxes.length), f.number(Math.min(...measured)), f.number(Math.max(...measured)))}
      </p>
      {measured.length > 0 && (
        <ul class="claim-boxes">
          {boxes.map(({ label, temperature_c: degrees, opened_at: opened }) => (
            <li key={label}>
              {said.box(label)}: {typeof degrees === 'number' ? `${f.number(degrees)} ${said.degrees}` : said.notMeasured}
              {typeof degrees === 'number' && degrees > warmest && <Tag>{said.warm}</Tag>}
              {typeof degrees === 'number' && degrees < coolest && <Tag>{said.cold}</Tag>}
              {opened && <span class="quiet"> {f.moment(opened, zone)}</span>}
            </li>
          ))}
        </ul>
      )}
      {marked && <p class="claim-small">{say.boxesNote(String(coolest), String(warmest))}</p>}
    </SheetPart>
  );
}

function Signed({ claim, found }: { claim: Claim; found: Found }) {
  const { sheet: say } = words.value.dock.claim;
  return (
    <SheetPart title={say.observed}>
      <ul class="claim-observers">
        {observersOf(claim, found, claimedLots(claim, found.lots), words.value, format.value).map(({ name, did }) => (
          <li key={name}>
            <b>{name}</b>: {did}
          </li>
        ))}
      </ul>
      <div class="claim-signature">
        {[say.name, say.signature, say.date].map((what) => (
          <p key={what}>{what}</p>
        ))}
      </div>
    </SheetPart>
  );
}

/** The page that goes to the supplier: facts, counts, findings and photos of the lots claimed, with who saw what and when. */
export function ClaimSheet({ claim, found: all }: { claim: Claim; found: Found }) {
  const said = words.value.dock.claim;
  const { sheet: say } = said;
  const f = format.value;
  const found = upToSending(all, claim);
  const { shipment, names } = found;
  const zone = zoneOf(shipment.site_id);
  const lots = claimedLots(claim, found.lots);
  const site = sites.value.find(({ id }) => id === shipment.site_id);
  return (
    <article class="claim-sheet" aria-label={say.label}>
      <header class="claim-head">
        <p>{say.from(session.value?.organisation.name ?? '', site?.name ?? '')}</p>
        <h2>{say.title(f.fullDate(shipment.arrived_on))}</h2>
        <p class="claim-to">{say.to(supplierName(names, shipment.supplier_id))}</p>
        <p class="claim-small">
          {say.written(claim.recorded_by.name, `${f.fullDate(dateAt(claim.recorded_at, zone))}, ${f.time(claim.recorded_at, zone)}`)}
          {claim.withdrawn_because ? ` ${say.withdrawn(claim.withdrawn_because)}` : ` ${claim.sent_at ? say.upToSending : say.draft}`}
          {session.value?.demo === true && ` ${say.demo}`}
        </p>
      </header>
      <Items claim={claim} found={found} />
      <div class="claim-halves">
        <Shipment claim={claim} found={found} />
        <Boxes found={found} />
      </div>
      <CountsTable found={found} lots={lots} />
      <FindingsTable found={found} lots={lots} />
      <SheetPhotos photos={photosOf(found, lots, claim.sent_at ?? null)} found={found} />
      <Signed claim={claim} found={found} />
    </article>
  );
}
