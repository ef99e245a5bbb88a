import './list.css';
import './marking.css';
import './plant.css';
import './look.css';
import './plan.css';

import { Empty, Page } from '../parts';
import { matchPath, useRoute } from '../router';
import { selectedSite } from '../session';
import { words } from '../words';
import { BlockPage } from './block';
import { DoubtsPage } from './doubts';
import { LookPage } from './look';
import { Today } from './today';

/** The walk: the list of blocks, a block, a look, and the looks in doubt. */
export default function Walk() {
  const { path, query } = useRoute();
  const site = selectedSite.value;
  const { common, walk } = words.value;
  if (!site) {
    return (
      <Page title={walk.title}>
        <Empty title={common.noSite} />
      </Page>
    );
  }
  const block = matchPath('/walk/blocks/:id', path)?.id;
  const look = matchPath('/walk/looks/:id', path)?.id;
  if (block !== undefined) {
    const address = [block, query.get('look') ?? '', query.get('lot') ?? ''].join(' ');
    return <BlockPage key={address} site={site} blockId={block} lookId={query.get('look')} lotId={query.get('lot')} />;
  }
  if (look !== undefined) return <LookPage key={look} site={site} id={look} />;
  if (path === '/walk/doubts') return <DoubtsPage key={site.id} site={site} />;
  return <Today key={site.id} site={site} />;
}
