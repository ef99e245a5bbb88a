import { useEffect, useState } from 'preact/hooks';

import { fetchOne } from '../api';
import type { Daybook, Site } from '../contract.gen';
import { uuid7 } from '../local/uuid7';
import { Loaded, Page, useLoad } from '../parts';
import { chooseSite, session } from '../session';
import { words } from '../words';
import { useDaybook } from './daybook-store';
import { draftOf, newDraft, step, type Draft } from './draft';
import { draftsOf, readDraft } from './draft-store';
import { Marking } from './marking';
import { namesOf, roundOf, type Stop } from './round';

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
  const stop = load.data && roundOf(load.data).flatMap(({ stops }) => stops).find(({ block }) => block.id === blockId);
  if (!load.data || !stop) {
    return (
      <Page title={walk.title} back={{ to: '/walk', label: walk.look.toList }}>
        <Loaded of={load}>{() => <Elsewhere blockId={blockId} />}</Loaded>
      </Page>
    );
  }
  return lookId !== null && readDraft(lookId) === null ? (
    <Reopen book={load.data} stop={stop} lookId={lookId} />
  ) : (
    <Begin book={load.data} stop={stop} lookId={lookId} lotId={lotId} />
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
    <Page title={stop.block.name} back={{ to: '/walk', label: words.value.walk.look.toList }}>
      <Loaded of={load}>{() => null}</Loaded>
    </Page>
  );
}

/** The look kept on this device for this block, if any; else a new one. */
function Begin({ book, stop, lookId, lotId }: { book: Daybook; stop: Stop; lookId: string | null; lotId: string | null }) {
  const [{ draft, restored }] = useState(() => begin(book, stop, lookId, lotId));
  return <Marking book={book} stop={stop} start={draft} restored={restored} />;
}

function begin(book: Daybook, stop: Stop, lookId: string | null, lotId: string | null): { draft: Draft; restored: boolean } {
  const person = session.peek()?.person.id ?? '';
  const kept =
    lookId !== null
      ? readDraft(lookId)
      : draftsOf(person).find(
          (draft) => draft.block_id === stop.block.id && draft.version === null && (lotId === null || !draft.lot_chosen || draft.lot_id === lotId),
        );
  if (kept) return { draft: kept, restored: true };
  return { draft: freshDraft(book, stop, lotId), restored: false };
}

/** A new look at a block: of the lot asked for, else of the only one that stands there. */
export function freshDraft(book: Daybook, stop: Stop, lotId: string | null): Draft {
  const person = session.peek()?.person.id ?? '';
  const draft = newDraft({ id: uuid7(), site_id: book.site.id, block_id: stop.block.id, person_id: person });
  const only = stop.standing.length === 1 ? stop.standing[0]?.lot_id : undefined;
  const lot = stop.standing.some(({ lot_id }) => lot_id === lotId) ? lotId : (only ?? null);
  if (lot === null) return draft;
  const names = namesOf(book);
  return step(draft, { do: 'choose_lot', lot_id: lot, organism_id: names.mainOrganism(names.lot(lot)) });
}
