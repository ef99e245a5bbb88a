import { useState } from 'preact/hooks';

import type { Daybook } from '../contract.gen';
import { Button, ButtonLink, Notice, notify, ProblemNotice } from '../parts';
import { toProblem, type ApiProblem } from '../problem';
import { session } from '../session';
import { words } from '../words';
import { begun, type Draft } from './draft';
import { draftsOf } from './draft-store';
import { stopAddress } from './said';
import { sendDraft } from './send';

/** Looks that are only on this device: begun, or finished and not yet with the server. */
export function KeptDrafts({ book }: { book: Daybook }) {
  const { today, look } = words.value.walk;
  const { common } = words.value;
  const [sending, setSending] = useState<string | null>(null);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const drafts = draftsOf(session.value?.person.id ?? '').filter((draft) => draft.site_id === book.site.id && begun(draft));
  if (drafts.length === 0) return null;
  const name = ({ block_id }: Draft): string => {
    const block = book.blocks.find(({ id }) => id === block_id);
    const house = book.houses.find(({ id }) => id === block?.house_id);
    return block ? [house?.name, block.name].filter(Boolean).join(' · ') : look.unknownBlock;
  };
  const send = async (draft: Draft): Promise<void> => {
    setSending(draft.id);
    setProblem(null);
    try {
      await sendDraft(draft);
      notify(look.saved);
    } catch (thrown) {
      setProblem(toProblem(thrown));
    } finally {
      setSending(null);
    }
  };
  return (
    <Notice kind="doubt" title={today.onPhone}>
      {drafts.map((draft) => (
        <div key={draft.id} class="row walk-kept">
          <p>
            {draft.finished
              ? today.unsent(name(draft))
              : draft.way === 'plants'
                ? today.begun(name(draft), common.plants(draft.plants.length))
                : today.begunTally(name(draft))}
          </p>
          {draft.finished && (
            <Button busy={sending === draft.id} onClick={() => void send(draft)}>
              {today.send}
            </Button>
          )}
          <ButtonLink to={stopAddress(draft.block_id, draft.version === null ? draft.lot_id : null, draft.id)}>{today.goOn}</ButtonLink>
        </div>
      ))}
      {problem && <ProblemNotice problem={problem} />}
    </Notice>
  );
}
