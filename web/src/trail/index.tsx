import './trail.css';

import { Page } from '../parts';
import { useRoute } from '../router';
import { words } from '../words';
import { ReachPage } from './reach/page';
import { StartPage } from './start/page';
import { readAsked, readGrouping } from './state';
import { StrikesPage } from './strikes/page';
import { TrailPage } from './trail-page';

/** Where plants came from and where they went, by address. */
export default function TrailPages() {
  const { path, query } = useRoute();
  const { common, trail } = words.value;
  const asked = readAsked(query);
  if (path === '/trail') return asked ? <TrailPage asked={asked} /> : <StartPage />;
  if (path === '/trail/strikes') return <StrikesPage by={readGrouping(query)} />;
  if (path === '/trail/reach' && asked) return <ReachPage key={`${asked.from} ${asked.id}`} asked={{ ...asked, way: 'forward' }} />;
  return (
    <Page title={common.notFoundTitle} back={{ to: '/trail', label: trail.title }}>
      <p>{common.notFound}</p>
    </Page>
  );
}
