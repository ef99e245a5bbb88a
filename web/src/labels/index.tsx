import './labels.css';

import { Empty, Page } from '../parts';
import { useRoute } from '../router';
import { selectedSite } from '../session';
import { words } from '../words';
import { Chooser } from './chooser';
import { tradeItemIn } from './scanned';
import { SheetPage } from './sheet-page';
import { fetchHouse, fetchLot, fetchShipment, fetchSite } from './subjects';
import { TradeItem } from './trade-item';

function NotHere() {
  const { common, labels } = words.value;
  return (
    <Page title={common.notFoundTitle} back={{ to: '/labels', label: labels.title }}>
      <p>{common.notFound}</p>
    </Page>
  );
}

const sources = [
  ['shipment', fetchShipment],
  ['lot', fetchLot],
  ['house', fetchHouse],
] as const;

/** Sheets of labels for lots and blocks; and the way from a scanned trade item number to its lot. */
export default function Labels() {
  const { path, query } = useRoute();
  const { common, labels } = words.value;
  const item = tradeItemIn(path);
  if (item) return <TradeItem key={path} {...item} />;
  if (path !== '/labels') return <NotHere />;
  for (const [name, fetchIt] of sources) {
    const id = query.get(name);
    if (id) return <SheetPage key={id} id={id} fetchIt={fetchIt} />;
  }
  const siteId = query.get('site');
  if (siteId && query.get('of') === 'blocks') return <SheetPage key={siteId} id={siteId} fetchIt={fetchSite} />;
  const site = selectedSite.value;
  if (site) return <Chooser key={site.id} site={site} />;
  return (
    <Page title={labels.title}>
      <Empty title={common.noSite} />
    </Page>
  );
}
