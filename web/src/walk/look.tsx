import { useEffect, useRef, useState } from 'preact/hooks';

import { fetchOne } from '../api';
import type { Daybook, Look, LookBody, Site } from '../contract.gen';
import type { Kept } from '../local/db';
import { dateAt } from '../local/zone';
import { Button, ButtonLink, Details, Facts, Form, Loaded, Notice, notify, Page, ProblemNotice, say, Section, TextArea, useLoad, type Load } from '../parts';
import { Photos } from '../photos';
import { toProblem, type ApiProblem } from '../problem';
import { go } from '../router';
import { canRecord, session } from '../session';
import { format, words } from '../words';
import { placeText, stageText } from './about-block';
import { heldLook, useDaybook } from './daybook-store';
import { draftOf } from './draft-body';
import { keepDraft, stepOf } from './draft-store';
import { Doubts } from './doubt';
import { EnoughHere } from './ask-line';
import { focusTitle } from './focus';
import { KeepTrouble } from './keep-trouble';
import { LookAnswer } from './look-answer';
import { LookPlants } from './look-plants';
import { narrowingFor } from './narrowing';
import { walksOf } from './plan-store';
import { namesOf, narrowed, nextOf, roundOf, type Names } from './round';
import { lotName, momentText, nextAddress, stopAddress, stopName } from './said';
import { changeLook, justFinished, undoFinished, waitingFor } from './send';
import { OnlyHere } from './only-here';
import { spentText } from './spent';
import { Revisions } from './revisions';
import type { Trouble } from './use-draft';
import { WithdrawForm } from './withdraw';

/** One look: what it found, what is doubtful about it, and where to go on. */
export function LookPage({ site, id }: { site: Site; id: string }) {
  const book = useDaybook(site.id);
  const load = useLoad(async (signal) => heldLook(id) ?? (await fetchOne('looks', id, signal)), [id]);
  const [changed, setChanged] = useState<Look | null>(null);
  const newest = [heldLook(id), load.data, changed].reduce<Look | undefined>((a, b) => (b && b.version > (a?.version ?? 0) ? b : a), undefined);
  const { walk } = words.value;
  if (!newest || !book.data) {
    const waiting: Load<unknown> = newest ? book : load;
    return (
      <Page title={walk.look.title} back={{ to: '/walk', label: walk.list }}>
        <Loaded of={waiting}>{() => null}</Loaded>
      </Page>
    );
  }
  return <ShownLook book={book.data} look={newest} onChanged={setChanged} />;
}

interface ShownProps {
  book: Daybook;
  look: Look;
  onChanged: (look: Look) => void;
}

function ShownLook({ book, look, onChanged }: ShownProps) {
  const { walk, common } = words.value;
  const said = walk.look;
  const names = namesOf(book);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [busy, setBusy] = useState(false);
  const [withdrawing, setWithdrawing] = useState(false);
  const may = canRecord(look.site_id);
  const block = book.blocks.find(({ id }) => id === look.block_id);
  const house = book.houses.find(({ id }) => id === look.house_id);
  const zone = book.site.time_zone;
  const withdrawn = Boolean(look.withdrawn_because);
  const finished = justFinished.value?.id === look.id && justFinished.value.version === look.version && !withdrawn;
  const second = justFinished.value?.second;
  const savedText = second ? `${said.saved} ${walk.second.kept(lotName(names.lot(second.body.lot_id), names))}` : said.saved;
  const answer = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (finished) say(`${savedText} ${answer.current?.innerText ?? ''}`);
  }, []);

  const take = async (change: Promise<Kept>, done: string): Promise<boolean> => {
    focusTitle(); // what was pressed goes when it is done
    setBusy(true);
    setProblem(null);
    const kept = await change;
    setBusy(false);
    setTrouble(kept === 'kept' ? null : kept);
    if (kept !== 'kept') return false;
    notify(done);
    return true;
  };
  const change = (body: Partial<LookBody>, done: string): Promise<boolean> => take(changeLook(look, body), done);
  const reload = (): void => {
    fetchOne('looks', look.id).then(
      (fresh) => {
        setProblem(null);
        onChanged(fresh);
      },
      (thrown: unknown) => setProblem(toProblem(thrown)),
    );
  };
  const correct = (): void => {
    void keepDraft(draftOf(look, session.value?.person.id ?? ''), stepOf(look.id)).then(() => go(stopAddress(look.block_id, null, look.id)));
  };

  return (
    <Page
      title={block?.name ?? said.title}
      above={[house?.name, look.lot_id ? lotName(names.lot(look.lot_id), names) : walk.lot.notKnown].filter(Boolean).join(' · ')}
      back={{ to: '/walk', label: walk.list }}
    >
      {problem && <ProblemNotice problem={problem} onReload={reload} />}
      <KeepTrouble trouble={trouble} />
      <OnlyHere look={look} waiting={waitingFor(look.id)} />
      {finished && (
        <div class="row walk-saved">
          <p>{savedText}</p>
          <Button busy={busy} onClick={() => void take(undoFinished(look, said.undoReason), said.withdrawn_)}>
            {common.undo}
          </Button>
        </div>
      )}
      {withdrawn && (
        <Notice kind="doubt" title={said.withdrawn}>
          <p>{said.withdrawnBecause(look.withdrawn_because ?? '')}</p>
          <Button busy={busy} disabled={!may} onClick={() => void change({ withdrawn_because: null }, said.isBack)}>
            {said.putBack}
          </Button>
        </Notice>
      )}
      <div class="stack" ref={answer}>
        {look.results.map((result) => (
          <LookAnswer key={result.organism_id} result={result} names={names} />
        ))}
        {look.purpose === 'on_purpose' && <p>{said.onPurpose}</p>}
        <EnoughHere book={book} look={look} names={names} />
      </div>
      <Doubts look={look} book={book} names={names} onChanged={onChanged} />
      <Onward book={book} look={look} names={names} />
      <NoteField key={look.version} look={look} busy={busy} disabled={!may} onNote={(note) => change({ note: note === '' ? null : note }, said.noteSaved)} />
      <Photos
        of={{ subject_noun: 'looks', subject_id: look.id }}
        title={[house?.name, block?.name].filter(Boolean).join(' · ')}
        may={may && !withdrawn}
        unsent={waitingFor(look.id).some(({ if_match }) => if_match === null)}
      />
      <LookPlants look={look} names={names} />
      <Section title={said.facts}>
        <Facts
          items={[
            { term: said.when, value: momentText(look.looked_at, look.looked_on, zone) },
            { term: walk.about.stage, value: look.crop_stage ? stageText(look.crop_stage) : undefined },
            { term: walk.about.hotSpot, value: look.hot_spot ? placeText(look.hot_spot) : undefined },
            { term: said.spent, value: spentText(look.seconds) },
            { term: said.observer, value: look.observer?.name },
            { term: said.lot, value: look.lot_id ? lotName(names.lot(look.lot_id), names) : common.unknown },
            { term: said.why_, value: look.purpose === 'on_purpose' ? walk.settings.onPurpose : walk.settings.planned },
            {
              term: said.recorded,
              value: said.version(look.version, look.recorded_by.name, momentText(look.recorded_at, dateAt(look.recorded_at, zone), zone)),
            },
          ]}
        />
        <MethodLine look={look} />
        {look.version > 1 && (
          <Details summary={said.changes}>
            <Revisions id={look.id} version={look.version} zone={zone} />
          </Details>
        )}
        {!withdrawn && (
          <div class="row">
            <Button disabled={!may || busy || !block} onClick={correct}>
              {said.correct}
            </Button>
            <Button disabled={!may || busy} aria-expanded={withdrawing} onClick={() => setWithdrawing(!withdrawing)}>
              {said.withdraw}
            </Button>
          </div>
        )}
        {withdrawing && !withdrawn && (
          <WithdrawForm
            busy={busy}
            onWithdraw={(withdrawn_because) => {
              void change({ withdrawn_because }, said.withdrawn_).then((ok) => ok && setWithdrawing(false));
            }}
          />
        )}
      </Section>
    </Page>
  );
}

function MethodLine({ look }: { look: Look }) {
  const said = words.value.walk.look;
  const result = look.results[0];
  if (!result) return null;
  const known: Record<string, string> = said.methods;
  return <p class="quiet">{said.method(format.value.percent(result.confidence_percent), known[result.method] ?? result.method)}</p>;
}

/** The next lot or block of the part one walks. */
function Onward({ book, look, names }: { book: Daybook; look: Look; names: Names }) {
  const said = words.value.walk.look;
  const next = nextOf(narrowed(roundOf(book, walksOf(book)), { ...narrowingFor(book), left: false }), look.block_id);
  const lot = next && lotName(next.standing.lot, names);
  return (
    <div class="walk-onward">
      {next ? (
        <ButtonLink to={nextAddress(next)} kind="primary" size="large">
          {next.stop.block.id === look.block_id && next.standing.lot_id !== look.lot_id ? said.nextLot(lot ?? '') : (
            <span>
              {said.nextBlock(stopName(next.stop))} · <span class="walk-whole">{lot}</span>
            </span>
          )}
        </ButtonLink>
      ) : (
        <p>{said.nothingLeft}</p>
      )}
      <ButtonLink to="/walk" size="large">
        {said.toList}
      </ButtonLink>
    </div>
  );
}

interface NoteProps {
  look: Look;
  busy: boolean;
  disabled: boolean;
  onNote: (note: string) => Promise<boolean>;
}

function NoteField({ look, busy, disabled, onNote }: NoteProps) {
  const said = words.value.walk.look;
  const { common } = words.value;
  const [note, setNote] = useState(look.note ?? '');
  return (
    <div>
      {look.note && <p class="walk-note">{look.note}</p>}
      <Details summary={look.note ? said.changeNote : said.addNote}>
        <Form onSubmit={() => void onNote(note)}>
          <TextArea label={said.note} optional maxLength={4000} value={note} disabled={disabled} onValue={setNote} />
          <div class="form-actions">
            <Button type="submit" busy={busy} disabled={disabled || note === (look.note ?? '')}>
              {common.save}
            </Button>
          </div>
        </Form>
      </Details>
    </div>
  );
}
