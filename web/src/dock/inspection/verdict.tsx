import { useState } from 'preact/hooks';

import type { VerdictDecision, Inspection, Lot, Verdict, VerdictBody } from '../../contract.gen';
import type { Waiting } from '../../local/db';
import { outbox } from '../../local/outbox';
import { uuid7 } from '../../local/uuid7';
import { Button, ChoiceField, Form, Notice, notify, NumberField, Section, Tag, TextArea } from '../../parts';
import { problemText, toProblem } from '../../problem';
import { readsOnly, session } from '../../session';
import { format, words } from '../../words';
import { verdictBody } from '../shared/bodies';
import { useBegun } from '../shared/begun';
import { Drafts } from '../shared/drafts';
import { OnlyHere } from '../shared/only-here';
import { save, useSaving } from '../shared/saving';
import { Withdraw } from '../shared/withdraw';

const decisions: readonly VerdictDecision[] = ['accept', 'accept_and_watch', 'dip', 'hold', 'reject'];

/** A verdict as it is being written. */
export interface VerdictDraft {
  id: string;
  decision: VerdictDecision | null;
  covers: 'all' | 'part';
  plants: number | null;
  because: string;
}

const verdictDrafts = new Drafts<VerdictDraft>('verdict');

/** What is sent. */
export function verdictBodyOf(draft: VerdictDraft & { decision: VerdictDecision }, inspectionId: string): VerdictBody {
  return {
    inspection_id: inspectionId,
    decision: draft.decision,
    ...(draft.covers === 'part' && { plants: draft.plants ?? 0 }),
    ...(draft.because.trim() !== '' && { because: draft.because.trim() }),
  };
}

/** A new verdict, or one that was refused, to be mended. */
function draftOf(refused: Waiting | undefined): VerdictDraft {
  if (!refused) return { id: uuid7(), decision: null, covers: 'all', plants: null, because: '' };
  const { decision, plants, because } = refused.body as VerdictBody; // put there by this page
  return { id: refused.id, decision, covers: typeof plants === 'number' ? 'part' : 'all', plants: plants ?? null, because: because ?? '' };
}

/** What was decided, for how much, by whom, and what had been suggested. */
export function VerdictLine({ verdict, zone }: { verdict: Verdict; zone: string }) {
  const { dock } = words.value;
  const said = dock.inspection.verdict;
  const differs = verdict.decision !== verdict.suggested;
  return (
    <p>
      <Tag strong={verdict.decision === 'hold' || verdict.decision === 'reject'}>{dock.lot.verdict[verdict.decision]}</Tag>{' '}
      {typeof verdict.plants === 'number' && `${said.partOf(verdict.plants)}, `}
      {said.signedBy(verdict.recorded_by.name, format.value.moment(verdict.recorded_at, zone))}
      {verdict.because && `: ${verdict.because}`}
      {differs && <span class="quiet"> {said.suggestedWas(said.option[verdict.suggested].toLocaleLowerCase())}</span>}
    </p>
  );
}

async function setWithdrawn(verdict: Verdict, because: string | null, title: string): Promise<void> {
  await save('verdicts', verdict.id, { ...verdictBody(verdict), withdrawn_because: because }, verdict.version, title);
}

function Signed({ verdict, title, zone, changed }: { verdict: Verdict; title: string; zone: string; changed: () => void }) {
  const { dock } = words.value;
  const saving = useSaving();
  const set = (because: string | null): void =>
    void saving.run(async () => {
      await setWithdrawn(verdict, because, title);
      changed();
    });
  return (
    <li class={verdict.withdrawn_because ? 'dock-move dock-move-withdrawn' : 'dock-move'}>
      <VerdictLine verdict={verdict} zone={zone} />
      {verdict.withdrawn_because && <p>{dock.withdraw.notice(verdict.withdrawn_because)}</p>}
      {saving.problem && <p class="field-fault">{problemText(saving.problem, words.value)}</p>}
      <Withdraw withdrawn={verdict.withdrawn_because ?? null} busy={saving.busy} onWithdraw={set} onRestore={() => set(null)} />
    </li>
  );
}

function DecisionNote({ decision }: { decision: VerdictDecision | null }) {
  const said = words.value.dock.inspection.verdict;
  switch (decision) {
    case 'dip':
      return (
        <Notice kind="doubt" title={said.dipTitle}>
          <p>{said.dip}</p>
        </Notice>
      );
    case 'hold':
      return (
        <Notice>
          <p>{said.hold}</p>
        </Notice>
      );
    case 'reject':
      return (
        <Notice>
          <p>{said.reject}</p>
        </Notice>
      );
    case 'accept_and_watch':
      return (
        <Notice>
          <p>{said.watch}</p>
        </Notice>
      );
    default:
      return null;
  }
}

interface Props {
  inspection: Inspection;
  lot: Lot;
  /** What a person calls the lot. */
  title: string;
  verdicts: readonly Verdict[];
  zone: string;
  changed: () => void;
}

/** A person decides and signs. Nothing is chosen beforehand; what the figures suggest is marked. */
function Decide({ inspection, lot, title, changed }: Omit<Props, 'verdicts' | 'zone'>) {
  const { dock } = words.value;
  const said = dock.inspection.verdict;
  const saving = useSaving();
  const [tried, setTried] = useState(false);
  const who = session.value?.person.name ?? '';
  const refused = outbox.value.find((one) => one.noun === 'verdicts' && one.problem !== null && one.body.inspection_id === inspection.id);
  const { id: begunId, draft, notice } = useBegun(verdictDrafts, inspection.id, () => draftOf(refused));
  const { decision, covers, plants, because } = draft.value;
  const change = (part: Partial<VerdictDraft>): void => {
    draft.value = { ...draft.value, ...part };
  };
  const submit = (): void => {
    setTried(true);
    if (decision === null) return;
    void saving.run(async () => {
      const { id } = draft.value;
      const body = verdictBodyOf({ ...draft.value, decision }, inspection.id);
      const version = await save('verdicts', id, body, null, title, begunId);
      verdictDrafts.drop(inspection.id);
      changed();
      const undo = async (): Promise<void> => {
        try {
          await save('verdicts', id, { ...body, withdrawn_because: words.value.dock.withdraw.byMistake }, version, title);
          notify(words.value.common.undone);
          changed();
        } catch (thrown) {
          notify(problemText(toProblem(thrown), words.value));
        }
      };
      notify(said.signed(dock.lot.verdict[decision], who), { undo: () => void undo() });
    });
  };
  return (
    <Form problem={saving.problem} onSubmit={submit} label={said.title} class="dock-form dock-verdict">
      {notice}
      {refused && !saving.problem && <OnlyHere id={refused.id} mending />}
      <ChoiceField
        label={said.decision}
        pointer="/decision"
        error={tried && decision === null ? said.missing : undefined}
        value={decision}
        onValue={(next) => change({ decision: next })}
        options={decisions.map((value) => ({
          value,
          label: said.option[value],
          ...(value === inspection.reading.suggestion && { hint: said.suggested }),
        }))}
      />
      <DecisionNote decision={decision} />
      <div class="form-row">
        <ChoiceField
          label={said.covers}
          value={covers}
          onValue={(next) => change({ covers: next })}
          options={[
            { value: 'all', label: said.all },
            { value: 'part', label: said.part },
          ]}
        />
        {covers === 'part' && (
          <NumberField
            label={said.partPlants}
            hint={said.partHint(lot.plants_on_hand)}
            pointer="/plants"
            min={1}
            value={plants}
            onValue={(next) => change({ plants: next })}
          />
        )}
      </div>
      <TextArea
        label={said.because}
        hint={said.becauseHint}
        optional
        pointer="/because"
        maxLength={2000}
        value={because}
        onValue={(next) => change({ because: next })}
      />
      <div class="form-actions">
        <Button kind="primary" size="large" type="submit" busy={saving.busy}>
          {said.sign(who)}
        </Button>
      </div>
    </Form>
  );
}

/** The verdicts of an inspection, and the form for the next one. */
export function Verdicts({ inspection, lot, title, verdicts, zone, changed }: Props) {
  const said = words.value.dock.inspection.verdict;
  const [again, setAgain] = useState(false);
  const decided = verdicts.some((verdict) => !verdict.withdrawn_because);
  const open = !inspection.withdrawn_because && !readsOnly();
  return (
    <Section title={said.title}>
      {verdicts.length > 0 && (
        <ol class="dock-list">
          {verdicts.map((verdict) => (
            <Signed key={verdict.id} verdict={verdict} title={title} zone={zone} changed={changed} />
          ))}
        </ol>
      )}
      {open && (!decided || again) && (
        <Decide
          inspection={inspection}
          lot={lot}
          title={title}
          changed={() => {
            setAgain(false);
            changed();
          }}
        />
      )}
      {decided && !again && open && (
        <div>
          <Button onClick={() => setAgain(true)}>{said.another}</Button>
        </div>
      )}
    </Section>
  );
}
