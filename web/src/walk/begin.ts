import type { Daybook } from '../contract.gen';
import { uuid7 } from '../local/uuid7';
import { session } from '../session';
import { newDraft, step, type Draft } from './draft';
import { draftsOf, readDraft } from './draft-store';
import { namesOf, type Stop } from './round';

/** The look kept on this device for a block, if there is one; else a new one. */
export function begin(book: Daybook, stop: Stop, lookId: string | null, lotId: string | null): { draft: Draft; restored: boolean } {
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
