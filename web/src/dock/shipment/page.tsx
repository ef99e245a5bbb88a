import { fetchAll, fetchOne } from '../../api';
import type { Lot, Shipment } from '../../contract.gen';
import { Answer, Button, ButtonLink, Empty, Notice, Page, ProblemNotice, Section, Tag, useLoad, Writing } from '../../parts';
import { Photos } from '../../photos';
import { withQuery } from '../../router';
import { canRecord, readsOnly } from '../../session';
import { format, words } from '../../words';
import { ShipmentClaims } from '../claim/line';
import { arriveNow } from '../shared/arrive';
import { onlyNames, type Arrivals } from '../shared/arrivals';
import { ArrivalFacts } from '../shared/facts';
import { ShowHere, useHere } from '../shared/here';
import { Marked } from '../shared/marked';
import { loadNames, supplierName, type Names } from '../shared/names';
import { useNow } from '../shared/now';
import { OnlyHere } from '../shared/only-here';
import { Revisions } from '../shared/revisions';
import { useSaving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import { coolest, warmest } from '../shared/temperature';
import { shipmentTitle } from '../shared/titles';
import { LotsTable } from './lots-table';

interface Found {
  shipment: Shipment;
  lots: readonly Lot[];
  names: Names;
}

function foundOf({ shipments, lots, names }: Arrivals, id: string): Found | undefined {
  const shipment = shipments.find((each) => each.id === id);
  return shipment && { shipment, lots: lots.filter(({ shipment_id }) => shipment_id === id), names };
}

function sentenceOf({ shipment, lots }: Found, now: Date): string {
  const said = words.value.dock.shipment;
  const f = format.value;
  const zone = zoneOf(shipment.site_id);
  const standing = lots.filter((lot) => !lot.withdrawn_because);
  const parts: string[] = [];
  if (!shipment.docked_at) parts.push(said.answerExpected(f.weekday(shipment.expected_on)));
  parts.push(
    standing.length === 0
      ? said.answerNoLots
      : said.answerLots(
          standing.length,
          standing.reduce((sum, lot) => sum + lot.plants, 0),
        ),
  );
  if (shipment.docked_at) {
    const waiting = standing.filter((lot) => !lot.inspected).length;
    if (standing.length > 0) parts.push(waiting > 0 ? said.answerWaiting(waiting) : said.answerInspected);
    if (shipment.claim_closes_at) {
      const rest = Date.parse(shipment.claim_closes_at) - now.getTime();
      parts.push(
        rest > 0 ? said.answerClaimOpen(f.span(rest), f.moment(shipment.claim_closes_at, zone)) : said.answerClaimClosed(f.span(-rest)),
      );
    }
  }
  return parts.join(' ');
}

function Times({ shipment }: { shipment: Shipment }) {
  const said = words.value.dock.shipment;
  const f = format.value;
  const zone = zoneOf(shipment.site_id);
  const moment = (at: string | null | undefined) => (at ? f.moment(at, zone) : null);
  const { left_at: left, docked_at: docked } = shipment;
  return (
    <ArrivalFacts
      items={[
        { term: said.expectedOn, value: f.weekday(shipment.expected_on) },
        { term: said.leftAt, value: moment(left) },
        { term: said.landedAt, value: moment(shipment.landed_at) },
        { term: said.dockedAt, value: moment(docked) ?? said.notHere },
        { term: said.openedAt, value: moment(shipment.opened_at) },
        { term: said.onTheWay, value: left && docked ? said.onTheWayFor(f.span(Date.parse(docked) - Date.parse(left))) : null },
        { term: said.note, value: shipment.note },
      ]}
    />
  );
}

function BoxesAndPapers({ shipment }: { shipment: Shipment }) {
  const said = words.value.dock.shipment;
  const f = format.value;
  const zone = zoneOf(shipment.site_id);
  const papers = (shipment.papers ?? []).map((paper) => ({ term: said.paper[paper.kind], value: paper.number }));
  const boxes = (shipment.boxes ?? []).map((box) => {
    const degrees = box.temperature_c;
    return {
      term: said.box(box.label),
      value: (
        <>
          {degrees === null || degrees === undefined ? said.notMeasured : `${f.number(degrees)} ${said.degrees}`}{' '}
          {typeof degrees === 'number' && degrees > warmest && <Tag>{said.warm}</Tag>}
          {typeof degrees === 'number' && degrees < coolest && <Tag>{said.cold}</Tag>}
          {box.opened_at && <span class="quiet"> {f.moment(box.opened_at, zone)}</span>}
        </>
      ),
    };
  });
  return (
    <>
      {papers.length > 0 && (
        <Section title={said.papers}>
          <ArrivalFacts items={papers} />
        </Section>
      )}
      {boxes.length > 0 && (
        <Section title={said.boxes}>
          <ArrivalFacts items={boxes} />
        </Section>
      )}
    </>
  );
}

function Content({ found, reload }: { found: Found; reload: () => void }) {
  const { dock } = words.value;
  const said = dock.shipment;
  const { shipment, lots, names } = found;
  const now = useNow();
  const saving = useSaving();
  const counts = useLoad(
    (signal) => fetchAll('movements', { shipment_id: shipment.id }, signal),
    [shipment.id, lots.length, shipment.version],
  );
  const waiting = shipment.docked_at && lots.some((lot) => !lot.inspected && !lot.withdrawn_because);
  const supplier = supplierName(names, shipment.supplier_id);
  return (
    <>
      <OnlyHere id={shipment.id} />
      {shipment.withdrawn_because && <Notice kind="doubt" title={dock.withdraw.notice(shipment.withdrawn_because)} />}
      <Answer>
        <Marked text={sentenceOf(found, now)} />
      </Answer>
      {saving.problem && <ProblemNotice problem={saving.problem} onReload={reload} />}
      {!shipment.docked_at && !shipment.withdrawn_because && !readsOnly() && (
        <div>
          <Button kind="primary" size="large" busy={saving.busy} onClick={() => void saving.run(() => arriveNow(shipment, supplier, reload))}>
            {dock.itIsHere}
          </Button>
        </div>
      )}
      <Section
        title={said.lots}
        actions={
          <div class="row">
            {waiting && <ButtonLink to={withQuery('/dock/plan', { shipment: shipment.id })}>{said.planThis}</ButtonLink>}
            {lots.some((lot) => !lot.withdrawn_because) && <ButtonLink to={withQuery('/labels', { shipment: shipment.id })}>{said.printLabels}</ButtonLink>}
            <Writing>
              <ButtonLink to={`/dock/shipments/${shipment.id}/paste`}>{said.pasteLots}</ButtonLink>
              <ButtonLink to={`/dock/shipments/${shipment.id}/lot`}>{said.addLot}</ButtonLink>
            </Writing>
          </div>
        }
      >
        {lots.length === 0 && (shipment.order_lines ?? []).length === 0 ? (
          <Empty title={said.lotsEmpty}>{said.lotsEmptyText}</Empty>
        ) : (
          <LotsTable shipment={shipment} lots={lots} movements={counts.data} names={names} />
        )}
      </Section>
      <ShipmentClaims shipment={shipment} />
      <Section title={said.times} actions={!readsOnly() && <ButtonLink to={`/dock/shipments/${shipment.id}/correct`}>{said.correct}</ButtonLink>}>
        <Times shipment={shipment} />
      </Section>
      <BoxesAndPapers shipment={shipment} />
      <Section title={dock.photos.title} lead={dock.photos.ofShipment}>
        <Photos
          of={{ subject_noun: 'shipments', subject_id: shipment.id }}
          title={dock.shipment.title(supplier, format.value.date(shipment.arrived_on))}
          may={canRecord(shipment.site_id)}
          kinds={['paper', 'box', 'label', 'plant']}
          captions
        />
      </Section>
      <Revisions recordId={shipment.id} version={shipment.version} zone={zoneOf(shipment.site_id)} names={names} />
    </>
  );
}

/** One shipment: how it stands, its lots, its times and papers. */
export function ShipmentPage({ id }: { id: string }) {
  const { dock } = words.value;
  const load = useHere(
    async (signal) => {
      const [shipment, lots, names] = await Promise.all([fetchOne('shipments', id, signal), fetchAll('lots', { shipment_id: id }, signal), loadNames()]);
      return { arrivals: { ...onlyNames(names), shipments: [shipment], lots }, more: null };
    },
    (arrivals) => foundOf(arrivals, id),
    [id],
  );
  const found = load.data;
  const title = found
    ? shipmentTitle(found.names, found.shipment)
    : dock.lot.shipment;
  return (
    <Page title={title} back={{ to: '/dock', label: dock.title }} width="wide">
      <ShowHere of={load}>{(data) => <Content found={data} reload={load.reload} />}</ShowHere>
    </Page>
  );
}
