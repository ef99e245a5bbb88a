import { useState } from 'preact/hooks';

import type { Daybook, Look } from '../contract.gen';
import { atZone, dateAt } from '../local/zone';
import { Button, Details, Notice, notify, Page, TextArea } from '../parts';
import { toProblem, type ApiProblem } from '../problem';
import { go } from '../router';
import { canRecord, serverNow } from '../session';
import { words } from '../words';
import { AskLine } from './ask-line';
import { freshDraft } from './begin';
import { begun, notReady, type Action, type Draft } from './draft';
import { forgetDraft } from './draft-store';
import { LooksHere } from './looks-here';
import { LotChoice } from './lot-choice';
import { NotSent } from './not-sent';
import { PlantByPlant } from './plant-by-plant';
import { PlantSheet } from './plant-sheet';
import { namesOf, type Stop } from './round';
import { momentText, stopName } from './said';
import { sendDraft, sendOver } from './send';
import { Settings } from './settings';
import { Tally } from './tally';
import { useDraft } from './use-draft';

interface MarkingProps {
  book: Daybook;
  stop: Stop;
  start: Draft;
  /** The draft was found on this device. */
  restored: boolean;
}

/** The look at a block in the making. */
export function Marking({ book, stop, start, restored }: MarkingProps) {
  const { walk, common } = words.value;
  const names = namesOf(book);
  const zone = book.site.time_zone;
  const hand = useDraft(() => start);
  const { draft, now, unkept } = hand;
  const [found, setFound] = useState(restored);
  const [sending, setSending] = useState(false);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const [open, setOpen] = useState<number | null>(null);

  const act = (action: Action): void => {
    setFound(false);
    hand.act(action);
  };
  const may = canRecord(book.site.id);
  const moment = (): string => atZone(serverNow(), zone);
  const mark = (organism_id: string | null): void => {
    if (may && !sending && draft.lot_chosen && draft.way === 'plants') act({ do: 'mark', organism_id, at: moment() });
  };
  const finish = async (send: (draft: Draft) => Promise<Look>): Promise<void> => {
    if (sending || notReady(now()) !== null) return;
    setSending(true);
    setProblem(null);
    act({ do: 'finish' });
    try {
      const look = await send(now());
      go(`/walk/looks/${look.id}`, { replace: true });
    } catch (thrown) {
      setProblem(toProblem(thrown));
      setSending(false);
    }
  };
  const startAgain = (): void => {
    const before = now();
    forgetDraft(before.id);
    hand.replace(freshDraft(book, stop, before.lot_id));
    setFound(false);
    setProblem(null);
    notify(walk.mark.letGo, { undo: () => hand.replace(before) });
  };
  const leaveIt = (): void => {
    forgetDraft(draft.id);
    go(`/walk/looks/${draft.id}`, { replace: true });
  };
  const onKey = (event: KeyboardEvent): void => {
    const typing = event.target instanceof Element && event.target.closest('input, textarea, select, dialog') !== null;
    if (typing || event.repeat || event.ctrlKey || event.metaKey || event.altKey || draft.way !== 'plants') return;
    const organism = draft.sought[Number(event.key) - 2];
    if (event.key === '1') mark(null);
    else if (organism) mark(organism.organism_id);
    else if (event.key === 'Backspace' && !sending) act({ do: 'undo' });
    else return;
    event.preventDefault();
  };

  const ask = <AskLine book={book} houseId={stop.house.id} draft={draft} />;
  const since = draft.looked_at === null ? '' : momentText(draft.looked_at, dateAt(draft.looked_at, zone), zone);
  return (
    <div class="walk-block" onKeyDown={onKey}>
      <Page title={stopName(stop)} back={{ to: '/walk', label: walk.list }}>
        {!may && (
          <Notice kind="problem">
            <p>{walk.mark.mayNot}</p>
          </Notice>
        )}
        {draft.version !== null ? (
          <Notice>
            <div class="walk-said">
              <p>{walk.mark.correcting}</p>
              <Button onClick={leaveIt}>{walk.mark.leaveIt}</Button>
            </div>
          </Notice>
        ) : (
          found &&
          begun(draft) && (
            <Notice>
              <div class="walk-said">
                <p>{draft.way === 'plants' ? walk.mark.restored(since, common.plants(draft.plants.length)) : walk.mark.restoredTally(since)}</p>
                <Button onClick={startAgain}>{walk.mark.startAgain}</Button>
              </div>
            </Notice>
          )
        )}
        {unkept && (
          <Notice kind="doubt">
            <p>{walk.mark.notKept}</p>
          </Notice>
        )}
        {problem && (
          <NotSent problem={problem} sending={sending} onAgain={() => void finish(sendDraft)} onOver={() => void finish(sendOver)} />
        )}
        {draft.lot_chosen ? (
          <>
            <Settings draft={draft} act={act} book={book} names={names} disabled={sending} />
            {draft.way === 'plants' ? (
              <PlantByPlant
                draft={draft}
                act={act}
                names={names}
                ask={ask}
                ready={may && !sending}
                sending={sending}
                onMark={mark}
                onOpen={setOpen}
                onFinish={() => void finish(sendDraft)}
              />
            ) : (
              <Tally
                draft={draft}
                act={act}
                names={names}
                ask={ask}
                ready={may && !sending}
                sending={sending}
                problem={problem}
                moment={moment}
                onFinish={() => void finish(sendDraft)}
              />
            )}
            <Details summary={walk.mark.note} open={draft.note !== ''}>
              <TextArea
                label={walk.mark.noteLabel}
                optional
                maxLength={4000}
                value={draft.note}
                disabled={sending}
                onValue={(note) => act({ do: 'note', note })}
              />
            </Details>
          </>
        ) : (
          <LotChoice book={book} stop={stop} names={names} onChoose={(lot_id) => act({ do: 'choose_lot', lot_id, organism_id: names.mainOrganism(names.lot(lot_id)) })} />
        )}
        <LooksHere looks={[...stop.standing.flatMap(({ looks }) => looks), ...stop.others]} names={names} zone={zone} />
      </Page>
      {open !== null && <PlantSheet plant={open} draft={draft} act={act} names={names} onClose={() => setOpen(null)} />}
    </div>
  );
}
