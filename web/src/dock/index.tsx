import './dock.css';
import './forms.css';
import './counting.css';
import './lot/life/life.css';

import type { JSX } from 'preact';

import { Empty, Page } from '../parts';
import { matchPath, useRoute } from '../router';
import { readsOnly, selectedSite } from '../session';
import { words } from '../words';
import { ClaimPage } from './claim/page';
import { CorrectInspection, InspectLot } from './inspection/count-page';
import { ReadingPage } from './inspection/reading-page';
import { CorrectLot, NewLot } from './lot/form-page';
import { LotPage } from './lot/page';
import { Overview } from './overview/page';
import { Plan } from './overview/plan';
import { CorrectShipment, NewShipment } from './shipment/form-page';
import { ShipmentPage } from './shipment/page';
import { PasteLots } from './shipment/paste-page';

const pages: readonly [string, (id: string) => JSX.Element][] = [
  ['/dock/shipments/:id', (id) => <ShipmentPage key={id} id={id} />],
  ['/dock/shipments/:id/claim', (id) => <ClaimPage key={id} shipmentId={id} />],
  ['/dock/shipments/:id/correct', (id) => <CorrectShipment key={id} id={id} />],
  ['/dock/shipments/:id/lot', (id) => <NewLot key={id} shipmentId={id} />],
  ['/dock/shipments/:id/paste', (id) => <PasteLots key={id} shipmentId={id} />],
  ['/dock/lots/:id', (id) => <LotPage key={id} id={id} />],
  ['/dock/lots/:id/correct', (id) => <CorrectLot key={id} id={id} />],
  ['/dock/lots/:id/inspect', (id) => <InspectLot key={id} lotId={id} />],
  ['/dock/inspections/:id', (id) => <ReadingPage key={id} id={id} />],
  ['/dock/inspections/:id/correct', (id) => <CorrectInspection key={id} id={id} />],
];

function NotHere() {
  const { common } = words.value;
  const { dock } = words.value;
  return (
    <Page title={common.notFoundTitle} back={{ to: '/dock', label: dock.title }}>
      <p>{common.notFound}</p>
    </Page>
  );
}

const writing = /\/(new|correct|lot|paste|inspect)$/;

/** Instead of a form, for an account that only reads. */
function OnlyReads() {
  const { common, dock } = words.value;
  return (
    <Page title={common.readsOnlyTitle} back={{ to: '/dock', label: dock.title }}>
      <p>{common.readsOnly}.</p>
    </Page>
  );
}

/** Everything at the dock, by address. */
export default function Dock() {
  const { path } = useRoute();
  const { dock } = words.value;
  const site = selectedSite.value;
  if (!site) {
    return (
      <Page title={dock.title}>
        <Empty title={dock.noSiteTitle}>{dock.noSite}</Empty>
      </Page>
    );
  }
  if (readsOnly() && writing.test(path)) return <OnlyReads />;
  if (path === '/dock') return <Overview key={site.id} site={site} />;
  if (path === '/dock/plan') return <Plan key={site.id} site={site} />;
  if (path === '/dock/new') return <NewShipment key={site.id} site={site} />;
  for (const [pattern, page] of pages) {
    const id = matchPath(pattern, path)?.id;
    if (id !== undefined) return page(id);
  }
  return <NotHere />;
}
