import { useState } from 'preact/hooks';

import type { Decision as Stored } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import { Button, DateField, Facts, Form, Notice, TextArea, TextField } from '../../parts';
import { serverNow } from '../../session';
import { format, words } from '../../words';
import { useFocusNext } from '../focus-next';
import { zoneOf } from '../names';
import { carriedOut, takenBack } from './corrections';
import { byText } from './decision-by';
import { figuresText, suggestedText } from './figures';
import { useCorrection, type Correction } from './use-correction';

/** What is changed in a stored decision. */
export type Change = 'done' | 'withdraw';

interface DecisionProps {
  decision: Stored;
  mayWrite: boolean;
  onChange: (how: Change) => void;
}

function Told({ decision }: { decision: Stored }) {
  const { advice: say } = words.value;
  const speech = { words: words.value, format: format.value };
  const done = decision.done_on ? [say.doneOn(format.value.date(decision.done_on)), decision.done_note].filter(Boolean).join(': ') : say.notDone;
  return (
    <Facts
      items={[
        { term: say.then, value: figuresText(decision.figures, speech) },
        { term: say.suggestedThen, value: suggestedText(decision.figures, speech) },
        { term: say.done, value: done },
      ]}
    />
  );
}

function Changed({ by }: { by: Correction }) {
  const { advice: say, trends } = words.value;
  const { theirs } = by;
  if (!theirs) return null;
  return (
    <Notice kind="doubt">
      <p>{say.staleNow(theirs.recorded_by.name)}</p>
      <p>
        <b>{say.choice[theirs.choice]}</b> {trends.quoted(theirs.because)}
      </p>
      {theirs.done_on && <p>{[say.doneOn(format.value.date(theirs.done_on)), theirs.done_note].filter(Boolean).join(': ')}</p>}
      {theirs.withdrawn_because && <p>{say.withdrawnBecause(theirs.withdrawn_because)}</p>}
    </Notice>
  );
}

interface FormProps {
  decision: Stored;
  /** What the form is called. */
  label: string;
  onSaved: () => void;
  onClose: () => void;
}

function DoneForm({ decision, label, onSaved, onClose }: FormProps) {
  const { advice: say, common } = words.value;
  const zone = zoneOf(decision.site_id);
  const today = dateAt(serverNow(), zone);
  const [on, setOn] = useState<string | null>(decision.done_on ?? today);
  const [note, setNote] = useState(decision.done_note ?? '');
  const correction = useCorrection(decision, onSaved);
  const send = (): void => {
    if (on !== null) correction.send((base) => carriedOut(base, on, note), say.doneSaved(format.value.date(on)));
  };
  return (
    <Form problem={correction.problem} label={label} onSubmit={send}>
      <Changed by={correction} />
      <DateField label={say.doneLabel} pointer="/done_on" value={on} onValue={setOn} min={dateAt(decision.decided_at, zone)} max={today} />
      <TextArea label={say.doneNote} pointer="/done_note" rows={2} maxLength={1000} value={note} onValue={setNote} optional />
      <div class="form-actions">
        <Button kind="primary" type="submit" busy={correction.busy} disabled={on === null}>
          {correction.theirs ? say.saveOver : say.saveDone}
        </Button>
        <Button onClick={onClose}>{common.cancel}</Button>
      </div>
    </Form>
  );
}

function WithdrawForm({ decision, label, onSaved, onClose }: FormProps) {
  const { advice: say, common } = words.value;
  const [reason, setReason] = useState('');
  const correction = useCorrection(decision, onSaved);
  return (
    <Form
      problem={correction.problem}
      label={label}
      onSubmit={() => reason.trim() !== '' && correction.send((base) => takenBack(base, reason), say.withdrawn)}
    >
      <Changed by={correction} />
      <TextField label={say.withdrawWhy} hint={say.withdrawHint} pointer="/withdrawn_because" maxLength={500} value={reason} onValue={setReason} />
      <div class="form-actions">
        <Button kind="strong" type="submit" busy={correction.busy} disabled={reason.trim() === ''}>
          {correction.theirs ? say.saveOver : say.withdraw}
        </Button>
        <Button onClick={onClose}>{common.cancel}</Button>
      </div>
    </Form>
  );
}

/** One decision: what, why, who, when, on which figures, and whether it was done. */
export function Decision({ decision, mayWrite, onChange }: DecisionProps) {
  const { advice: say, trends } = words.value;
  const [open, setOpen] = useState<Change | null>(null);
  const { place, next } = useFocusNext<HTMLElement>();
  const choice = say.choice[decision.choice];
  // two decisions may be the same choice: their moment tells them apart
  const name = `${choice}, ${format.value.moment(decision.decided_at, zoneOf(decision.site_id))}`;
  const labels: Record<Change, string> = { done: (decision.done_on ? say.correctDoneOf : say.sayDoneOf)(name), withdraw: say.withdrawOf(name) };
  const begin = (how: Change): void => {
    next((article) => article.querySelector<HTMLElement>('input, textarea'));
    setOpen(how);
  };
  const saved = (how: Change) => (): void => {
    if (how === 'done') next((article) => article); // one that is withdrawn goes away
    setOpen(null);
    onChange(how);
  };
  const close = (how: Change) => (): void => {
    next((article) => article.querySelector<HTMLElement>(`.decision-${how}`));
    setOpen(null);
  };
  return (
    <article class="decision" id={`decision-${decision.id}`} ref={place} tabIndex={-1} aria-label={name}>
      <p class="decision-choice">
        <b>{choice}</b> {trends.quoted(decision.because)}
      </p>
      <p class="quiet">{byText(decision, { words: words.value, format: format.value })}</p>
      {decision.withdrawn_because && <p>{say.withdrawnBecause(decision.withdrawn_because)}</p>}
      <Told decision={decision} />
      {mayWrite && !decision.withdrawn_because && open === null && (
        <div class="row">
          <Button class="decision-done" aria-label={labels.done} onClick={() => begin('done')}>
            {decision.done_on ? say.correctDone : say.sayDone}
          </Button>
          <Button kind="quiet" class="decision-withdraw" aria-label={labels.withdraw} onClick={() => begin('withdraw')}>
            {say.withdraw}
          </Button>
        </div>
      )}
      {open === 'done' && <DoneForm decision={decision} label={labels.done} onSaved={saved('done')} onClose={close('done')} />}
      {open === 'withdraw' && <WithdrawForm decision={decision} label={labels.withdraw} onSaved={saved('withdraw')} onClose={close('withdraw')} />}
    </article>
  );
}
