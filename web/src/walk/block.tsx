import { untracked } from '@preact/signals';
import { useEffect, useMemo, useState } from 'preact/hooks';

import { fetchOne } from '../api';
import type { Daybook, Site } from '../contract.gen';
import { Loaded, Page, useLoad } from '../parts';
import { chooseSite, session } from '../session';
import { words } from '../words';
import { begin } from './begin';
import { useDaybook } from './daybook-store';
import { draftOf } from './draft-body';
import { readDraft } from './draft-store';
import { Marking } from './marking';
import { walksOf } from './plan-store';
import { roundOf, type Stop } from './round';

interface BlockProps {
  site: Site;
  blockId: string;
  /** A look to go on with or to correct. */
  lookId: string | null;
  /** The lot chosen on the list. */
  lotId: string | null;
}

/** One block: choose the lot, mark plant by plant or as a tally, finish. */
export function BlockPage({ site, blockId, lookId, lotId }: BlockProps) {
  const load = useDaybook(site.id);
  const { walk } = words.value;
  const book = load.data;
  // Not worked out anew with each tap: what is tapped here is in the draft, and changes nothing of the round.
  const stop = useMemo(() => book && untracked(() => roundOf(book, walksOf(book)).flatMap(({ stops }) => stops).find(({ block }) => block.id === blockId)), [book, blockId]);
  if (!book || !stop) {
    return (
      <Page title={walk.title} back={{ to: '/walk', label: walk.list }}>
        <Loaded of={load}>{() => <Elsewhere blockId={blockId} />}</Loaded>
      </Page>
    );
  }
  return lookId !== null && readDraft(lookId) === null ? (
    <Reopen book={book} stop={stop} lookId={lookId} />
  ) : (
    <Begin book={book} stop={stop} lookId={lookId} lotId={lotId} />
  );
}

/** A block of another site: goes to that site. */
function Elsewhere({ blockId }: { blockId: string }) {
  const load = useLoad((signal) => fetchOne('blocks', blockId, signal), [blockId]);
  const siteId = load.data?.site_id;
  useEffect(() => {
    if (siteId !== undefined) chooseSite(siteId);
  }, [siteId]);
  return load.problem?.status === 404 ? <p>{words.value.walk.notHere}</p> : <Loaded of={load}>{() => null}</Loaded>;
}

/** A stored look to be corrected that is not yet on this device. */
function Reopen({ book, stop, lookId }: { book: Daybook; stop: Stop; lookId: string }) {
  const load = useLoad((signal) => fetchOne('looks', lookId, signal), [lookId]);
  const person = session.value?.person.id ?? '';
  if (load.data) return <Marking book={book} stop={stop} start={draftOf(load.data, person)} restored={false} />;
  return (
    <Page title={stop.block.name} back={{ to: '/walk', label: words.value.walk.list }}>
      <Loaded of={load}>{() => null}</Loaded>
    </Page>
  );
}

/** The look kept on this device for this block, if any; else a new one. */
function Begin({ book, stop, lookId, lotId }: { book: Daybook; stop: Stop; lookId: string | null; lotId: string | null }) {
  const [{ draft, restored }] = useState(() => begin(book, stop, lookId, lotId));
  return <Marking book={book} stop={stop} start={draft} restored={restored} />;
}
