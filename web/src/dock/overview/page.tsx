import { client, fetchAll, read } from '../../api';
import type { Lot, SecondLook, Shipment, Site } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import { Answer, ButtonLink, Details, Empty, Loaded, Page, Section, useLoad } from '../../parts';
import { Link } from '../../router';
import { canRecord, selectedSite, serverNow } from '../../session';
import { format, words } from '../../words';
import { Marked } from '../shared/marked';
import { cultivarName, loadNames, supplierName, type Names } from '../shared/names';
import { useNow } from '../shared/now';
import { zoneOf } from '../shared/site';
import { dockSentence } from './answer';
import { Conflicts, fetchConflicts, type Unsettled } from './conflicts';
import { answerOf, lotsToInspect, lotsUndecided, orderDock, shipmentsAtWork } from './order';
import { SecondLooks } from './second-looks';
import { ExpectedRow, SettledRow, WaitingRow } from './shipment-row';

interface Found {
  shipments: Shipment[];
  lots: Lot[];
  looks: SecondLook[];
  conflicts: readonly Unsettled[];
  names: Names;
}

const settledShown = 6;

async function fetchDock(site: string, signal: AbortSignal): Promise<Found> {
  const [shipments, looks, conflicts, names] = await Promise.all([
    fetchAll('shipments', { site_id: site }, signal),
    read(client.GET('/second-looks', { params: { query: { site_id: site } }, signal })),
    fetchConflicts(site, signal),
    loadNames(),
  ]);
  const now = serverNow();
  const atWork = shipmentsAtWork(orderDock(shipments, now), now);
  const lots = await Promise.all(atWork.map((shipment) => fetchAll('lots', { shipment_id: shipment.id }, signal)));
  return { shipments, lots: lots.flat(), looks: looks.items, conflicts, names };
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
  const { shipments, lots, looks, conflicts, names } = found;
  const view = orderDock(shipments, now);
  const open = [...view.waiting, ...view.running];
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
      {open.length > 0 && (
        <Section title={dock.needsYou} actions={view.waiting.length > 0 && <ButtonLink to="/dock/plan">{dock.planTime}</ButtonLink>}>
          <ul class="dock-list">
            {open.map((shipment) => (
              <WaitingRow key={shipment.id} shipment={shipment} lots={lotsToInspect(lots, shipment.id)} names={names} now={now} />
            ))}
          </ul>
        </Section>
      )}
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
  const load = useLoad((signal) => fetchDock(site.id, signal), [site.id]);
  const today = dateAt(serverNow(), site.time_zone);
  const create = canRecord(site.id) && (
    <ButtonLink to="/dock/new" kind="primary">
      {dock.newShipment}
    </ButtonLink>
  );
  return (
    <Page title={dock.title} actions={create}>
      <Loaded of={load}>
        {(found) =>
          found.shipments.length === 0 ? (
            <Empty title={dock.emptyTitle} action={create}>
              {dock.empty}
            </Empty>
          ) : (
            <Content found={found} today={today} reload={load.reload} />
          )
        }
      </Loaded>
    </Page>
  );
}
