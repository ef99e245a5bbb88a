import './trends.css';

import { lazy } from '../lazy';
import { Page } from '../parts';
import { useRoute } from '../router';
import { words } from '../words';
import { TrendsPage } from './page';

const Arrivals = lazy('arrivals', () => import('./arrivals'));
const Map = lazy('map', () => import('./map'));

/** The season read: weekly series, what arrived by its age, and each house as a map. */
export default function Trends() {
  const { path } = useRoute();
  if (path === '/trends') return <TrendsPage />;
  if (path === '/trends/arrivals') return <Arrivals />;
  if (path === '/trends/map') return <Map />;
  const { common, trends } = words.value;
  return (
    <Page title={common.notFoundTitle} back={{ to: '/trends', label: trends.title }}>
      <p>{common.notFound}</p>
    </Page>
  );
}
