import './trends.css';

import { lazy } from '../lazy';
import { Page } from '../parts';
import { useRoute } from '../router';
import { words } from '../words';
import { TrendsPage } from './page';

const Arrivals = lazy('arrivals', () => import('./arrivals'));

/** The season read: weekly series, and what arrived by its age. */
export default function Trends() {
  const { path } = useRoute();
  if (path === '/trends') return <TrendsPage />;
  if (path === '/trends/arrivals') return <Arrivals />;
  const { common, trends } = words.value;
  return (
    <Page title={common.notFoundTitle} back={{ to: '/trends', label: trends.title }}>
      <p>{common.notFound}</p>
    </Page>
  );
}
