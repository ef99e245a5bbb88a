import { client, fetchAll, read } from '../../api';
import type { Lot, Shipment, Site } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import { Answer, ButtonLink, Details, Empty, Page, Section, useLoad } from '../../parts';
import { Link } from '../../router';
import { ScanButton } from '../../scan/button';
import { canRecord, selectedSite, serverNow } from '../../session';
import { format, words } from '../../words';
import { withWaiting } from '../claim/waiting';
import { onlyNames, type Arrivals } from '../shared/arrivals';
import { BegunForms } from '../shared/begun';
import { ShowHere, useHere, type Answered } from '../shared/here';
import { Marked } from '../shared/marked';
import { cultivarName, loadNames, supplierName, type Names } from '../shared/names';
import { useNow } from '../shared/now';
import { notRefused } from '../shared/sent';
import { zoneOf } from '../shared/site';
import { dockSentence } from './answer';
import { ClaimsDue } from './claims';
import { claimsDue, claimsUnanswered } from './claims-due';
import { Conflicts, fetchConflicts } from './conflicts';
import { answerOf, lotsToInspect, lotsUndecided, orderDock, shipmentsAtWork } from './order';
import { SecondLooks } from './second-looks';
import { ExpectedRow, SettledRow, WaitingRow } from './shipment-row';
import { noteWorked, nothingWorked, recallWorked, type Worked } from './worked';

interface Found extends Worked {
  shipments: readonly Shipment[];
  lots: readonly Lot[];
  names: Names;
}

const settledShown = 6;

async function fetchDock(site: string, signal: AbortSignal): Promise<Answered<Worked>> {
  const [shipments, looks, claims, conflicts, names] = await Promise.all([
    fetchAll('shipments', { site_id: site }, signal),
    read(client.GET('/second-looks', { params: { query: { site_id: site } }, signal })),
    fetchAll('claims', { site_id: site }, signal),
    fetchConflicts(site, signal),
    loadNames(),
  ]);
  const now = serverNow();
  const atWork = shipmentsAtWork(orderDock(shipments, now), now);
  const lots = await Promise.all(atWork.map((shipment) => fetchAll('lots', { shipment_id: shipment.id }, signal)));
  const more = { looks: looks.items, claims, conflicts };
  void noteWorked(site, more);
  return { arrivals: { ...onlyNames(names), shipments, lots: lots.flat() }, more };
}

/** What the page shows of a site. Lots one by one only of the shipments at work. */
function foundOf(arrivals: Arrivals, { looks, claims, conflicts }: Worked, site: string): Found {
  const now = serverNow();
  const shipments = arrivals.shipments.filter(({ site_id }) => site_id === site);
  const atWork = new Set(shipmentsAtWork(orderDock(shipments, now), now).map(({ id }) => id));
  const lots = arrivals.lots.filter(({ shipment_id }) => typeof shipment_id === 'string' && atWork.has(shipment_id));
  return { shipments, lots, looks, claims: withWaiting(claims, notRefused(), shipments), conflicts, names: arrivals.names };
}

function Undecided({ lots, names }: { lots: readonly Lot[]; names: Names }) {
  const { dock } = words.value;
  if (lots.length === 0) return null;
  return (
    <Section title={dock.undecidedTitle}>
      <ul class="dock-list">
        {lots.map((lot) => (
          <li key={lot.id} class="dock-line">
            <Link to={`/dock/lots/${lot.id}`} class="dock-line-main">
              <span class="dock-code">{lot.code}</span>
              <b>{cultivarName(names, lot.cultivar_id)}</b>
              <span class="quiet">{supplierName(names, lot.supplier_id)}</span>
              <span class="dock-go">{dock.decide}</span>
            </Link>
          </li>
        ))}
      </ul>
    </Section>
  );
}

function Content({ found, today, reload }: { found: Found; today: string; reload: () => void }) {
  const { dock } = words.value;
  const now = useNow();
  const { shipments, lots, looks, claims, conflicts, names } = found;
  const due = claimsDue(shipments, claims, now);
  const order = orderDock(shipments, now);
  const isDue = (shipment: Shipment): boolean => due.some((one) => one.shipment.id === shipment.id);
  // All inspected: it needs nobody any more but for a claim.
  const view = { ...order, running: order.running.filter(isDue), settled: [...order.running.filter((shipment) => !isDue(shipment)), ...order.settled] };
  const sentence = dockSentence(
    answerOf(view, lots, looks, now),
    { now, today, supplier: (id) => supplierName(names, id) },
    words.value,
    format.value,
  );
  const earlier = view.settled.slice(settledShown);
  return (
    <>
      <Answer>
        <Marked text={sentence} />
      </Answer>
      {view.waiting.length > 0 && (
        <Section title={dock.needsYou} actions={<ButtonLink to="/dock/plan">{dock.planTime}</ButtonLink>}>
          <ul class="dock-list">
            {view.waiting.map((shipment) => (
              <WaitingRow key={shipment.id} shipment={shipment} lots={lotsToInspect(lots, shipment.id)} names={names} now={now} />
            ))}
          </ul>
        </Section>
      )}
      <ClaimsDue due={due} unanswered={claimsUnanswered(claims)} shipments={shipments} names={names} />
      <Conflicts conflicts={conflicts} zone={zoneOf(selectedSite.value?.id)} />
      <Undecided lots={lotsUndecided(lots)} names={names} />
      <SecondLooks looks={looks} names={names} today={today} />
      <Section title={dock.expectedTitle}>
        {view.expected.length === 0 ? (
          <Empty title={dock.expectedEmpty}>{dock.expectedEmptyText}</Empty>
        ) : (
          <ul class="dock-list">
            {view.expected.map((shipment) => (
              <ExpectedRow key={shipment.id} shipment={shipment} names={names} today={today} changed={reload} />
            ))}
          </ul>
        )}
      </Section>
      {view.settled.length > 0 && (
        <Section title={dock.settledTitle}>
          <ul class="dock-list">
            {view.settled.slice(0, settledShown).map((shipment) => (
              <SettledRow key={shipment.id} shipment={shipment} names={names} />
            ))}
          </ul>
          {earlier.length > 0 && (
            <Details summary={dock.settledMore(earlier.length)}>
              <ul class="dock-list">
                {earlier.map((shipment) => (
                  <SettledRow key={shipment.id} shipment={shipment} names={names} />
                ))}
              </ul>
            </Details>
          )}
        </Section>
      )}
    </>
  );
}

/** The dock of a site: first what needs a person, then what is expected, then what is settled. */
export function Overview({ site }: { site: Site }) {
  const { dock } = words.value;
  const last = useLoad(() => recallWorked(site.id), [site.id]).data;
  const load = useHere(
    (signal) => fetchDock(site.id, signal),
    (arrivals, more) => foundOf(arrivals, more ?? last ?? nothingWorked, site.id),
    [site.id],
  );
  const today = dateAt(serverNow(), site.time_zone);
  const create = canRecord(site.id) && (
    <ButtonLink to="/dock/new" kind="primary">
      {dock.newShipment}
    </ButtonLink>
  );
  return (
    <Page
      title={dock.title}
      actions={
        <>
          <ScanButton from="dock" site={site} />
          {create}
        </>
      }
    >
      <BegunForms />
      <ShowHere of={load}>
        {(found) =>
          found.shipments.length === 0 ? (
            <Empty title={dock.emptyTitle} action={create}>
              {dock.empty}
            </Empty>
          ) : (
            <Content found={found} today={today} reload={load.reload} />
          )
        }
      </ShowHere>
    </Page>
  );
}
