import { useMemo, useRef, useState } from 'preact/hooks';

import type { Daybook } from '../contract.gen';
import { atZone, dateAt } from '../local/zone';
import { Button, Notice, notify, Page, ProblemNotice } from '../parts';
import { toProblem, type ApiProblem } from '../problem';
import { go } from '../router';
import { canRecord, serverNow } from '../session';
import { words } from '../words';
import { AboutBlock } from './about-block';
import { AskLine } from './ask-line';
import { freshDraft } from './begin';
import { begun, notReady, type Action, type Draft } from './draft';
import { forgetDraft } from './draft-store';
import { focusLost, useFocusAfter } from './focus';
import { LooksHere } from './looks-here';
import { LotChoice } from './lot-choice';
import { KeepTrouble } from './keep-trouble';
import { PlantByPlant } from './plant-by-plant';
import { letPhotosGo, plantTakenOut } from './plant-photos';
import { PlantSheet } from './plant-sheet';
import { namesOf, type Stop } from './round';
import { momentText, stopName } from './said';
import { finishDraft, sendUnkept } from './send';
import { SecondLookChoice } from './second-look-choice';
import { Settings } from './settings';
import { Tally } from './tally';
import { ThisPhone } from './this-phone';
import { readyToTick, tick } from './tick';
import { useDraft } from './use-draft';
import { useHeard } from './use-heard';

interface MarkingProps {
  book: Daybook;
  stop: Stop;
  start: Draft;
  /** The draft was found on this device; that it was stays said while one marks, so that the targets do not move. */
  restored: boolean;
}

/** The look at a block in the making. */
export function Marking({ book, stop, start, restored }: MarkingProps) {
  const { walk, common } = words.value;
  const names = namesOf(book);
  const before = useMemo(() => [...stop.standing.flatMap(({ looks }) => looks), ...stop.others], [stop]);
  const zone = book.site.time_zone;
  const hand = useDraft(() => start);
  const { draft, now, trouble } = hand;
  const [found, setFound] = useState(restored && begun(start));
  const [sending, setSending] = useState(false);
  const [full, setFull] = useState(false);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const [open, setOpen] = useState<number | null>(null);
  const root = useRef<HTMLDivElement>(null);
  const first = (selector: string): HTMLElement | null => root.current?.querySelector<HTMLElement>(selector) ?? null;
  useHeard(book, stop.house.id, draft);
  useFocusAfter(draft.lot_chosen, () => first(draft.lot_chosen ? 'summary' : 'h2'));
  useFocusAfter(draft.id, () => first('summary'));
  useFocusAfter(open, () => (open === null && focusLost() ? first('.walk-target') : null));

  const act = async (action: Action): Promise<boolean> => {
    const kept = await hand.act(action);
    if (kept && (action.do === 'undo' || action.do === 'drop')) {
      await plantTakenOut(draft.id, action.do === 'drop' ? action.plant + 1 : now().plants.length + 1);
    }
    return kept;
  };
  const may = canRecord(book.site.id);
  const moment = (): string => atZone(serverNow(), zone);
  const mark = (organism_id: string | null): void => {
    if (!may || sending || !draft.lot_chosen || draft.way !== 'plants') return;
    readyToTick();
    void act({ do: 'mark', organism_id, at: moment() }).then((kept) => kept && tick(organism_id === null ? 'none' : 'seen'));
  };
  const finish = async (): Promise<void> => {
    if (sending || notReady(now()) !== null) return;
    setSending(true);
    setProblem(null);
    await hand.rest();
    const kept = await finishDraft(now());
    setFull(kept === 'full');
    try {
      if (kept === 'unkept') await sendUnkept(now());
      if (kept !== 'full') go(`/walk/looks/${now().id}`, { replace: true });
    } catch (thrown) {
      setProblem(toProblem(thrown));
    }
    setSending(false);
  };
  const startAgain = async (): Promise<void> => {
    const before = now();
    const bringBack = await letPhotosGo(before.id); // first: photos of what is not begun are sent
    await forgetDraft(before.id);
    await hand.replace(freshDraft(book, stop, before.lot_id));
    setFound(false);
    setProblem(null);
    notify(walk.mark.letGo, { undo: () => void hand.replace(before).then(bringBack) });
  };
  const leaveIt = async (): Promise<void> => {
    await forgetDraft(draft.id);
    go(`/walk/looks/${draft.id}`, { replace: true });
  };
  const onKey = (event: KeyboardEvent): void => {
    const typing = event.target instanceof Element && event.target.closest('input, textarea, select, dialog') !== null;
    if (typing || event.repeat || event.ctrlKey || event.metaKey || event.altKey || draft.way !== 'plants') return;
    const organism = draft.sought[Number(event.key) - 2];
    if (event.key === '1') mark(null);
    else if (organism) mark(organism.organism_id);
    else if (event.key === 'Backspace' && !sending) void act({ do: 'undo' });
    else return;
    event.preventDefault();
  };

  const ask = <AskLine book={book} houseId={stop.house.id} draft={draft} />;
  const since = (): string => (start.looked_at === null ? '' : momentText(start.looked_at, dateAt(start.looked_at, zone), zone));
  return (
    <div ref={root} class="walk-block" onKeyDown={onKey}>
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
              <Button onClick={() => void leaveIt()}>{walk.mark.leaveIt}</Button>
            </div>
          </Notice>
        ) : (
          found &&
          begun(draft) && (
            <Notice>
              <div class="walk-said">
                <p>{draft.way === 'plants' ? walk.mark.restored(since(), common.plants(start.plants.length)) : walk.mark.restoredTally(since())}</p>
                <Button onClick={() => void startAgain()}>{walk.mark.startAgain}</Button>
              </div>
            </Notice>
          )
        )}
        <KeepTrouble trouble={full ? 'full' : trouble} />
        {problem && <ProblemNotice problem={problem} onRetry={() => void finish()} />}
        {draft.lot_chosen ? (
          <>
            <Settings draft={draft} act={act} book={book} names={names} disabled={sending} />
            <SecondLookChoice book={book} draft={draft} names={names} disabled={sending} act={(action) => void act(action)} />
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
                onFinish={() => void finish()}
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
                onFinish={() => void finish()}
              />
            )}
            <AboutBlock draft={draft} disabled={sending} act={(action) => void act(action)} />
            {draft.way === 'plants' && <ThisPhone />}
          </>
        ) : (
          <LotChoice book={book} stop={stop} names={names} onChoose={(lot_id) => void act({ do: 'choose_lot', lot_id, organism_id: names.mainOrganism(names.lot(lot_id)) })} />
        )}
        <LooksHere looks={before} names={names} zone={zone} />
      </Page>
      {open !== null && <PlantSheet plant={open} draft={draft} act={act} names={names} may={may && !sending} title={stopName(stop)} onClose={() => setOpen(null)} />}
    </div>
  );
}
