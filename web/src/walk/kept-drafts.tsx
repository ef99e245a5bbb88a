import type { Daybook } from '../contract.gen';
import { ButtonLink, Notice } from '../parts';
import { session } from '../session';
import { words } from '../words';
import { begun, type Draft } from './draft';
import { draftsOf } from './draft-store';
import { photosOf } from './plant-photos';
import { stopAddress } from './said';

/** Looks begun on this phone and not finished. */
export function KeptDrafts({ book }: { book: Daybook }) {
  const { today, look } = words.value.walk;
  const { common } = words.value;
  const drafts = draftsOf(session.value?.person.id ?? '').filter((draft) => draft.site_id === book.site.id && (begun(draft) || photosOf(draft.id).length > 0));
  if (drafts.length === 0) return null;
  const name = ({ block_id }: Draft): string => {
    const block = book.blocks.find(({ id }) => id === block_id);
    const house = book.houses.find(({ id }) => id === block?.house_id);
    return block ? [house?.name, block.name].filter(Boolean).join(' · ') : look.unknownBlock;
  };
  return (
    <Notice kind="doubt" title={today.onPhone}>
      {drafts.map((draft) => (
        <div key={draft.id} class="row walk-kept">
          <p>{draft.way === 'plants' ? today.begun(name(draft), common.plants(draft.plants.length)) : today.begunTally(name(draft))}</p>
          <ButtonLink to={stopAddress(draft.block_id, draft.version === null ? draft.lot_id : null, draft.id)}>{today.goOn}</ButtonLink>
        </div>
      ))}
    </Notice>
  );
}
