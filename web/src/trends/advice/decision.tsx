import { useState } from 'preact/hooks';

import type { Decision as Stored } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import { Button, DateField, Facts, Form, Notice, TextArea, TextField } from '../../parts';
import { serverNow } from '../../session';
import { format, words } from '../../words';
import { zoneOf } from '../names';
import { carriedOut, takenBack } from './corrections';
import { figuresText, suggestedText } from './figures';
import { useCorrection, type Correction } from './use-correction';

interface DecisionProps {
  decision: Stored;
  mayWrite: boolean;
  onChange: () => void;
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
  const { advice: say } = words.value;
  const { theirs } = by;
  if (!theirs) return null;
  return (
    <Notice kind="doubt">
      <p>{say.staleNow(theirs.recorded_by.name)}</p>
      <p>
        <b>{say.choice[theirs.choice]}</b> “{theirs.because}”
      </p>
      {theirs.done_on && <p>{[say.doneOn(format.value.date(theirs.done_on)), theirs.done_note].filter(Boolean).join(': ')}</p>}
      {theirs.withdrawn_because && <p>{say.withdrawnBecause(theirs.withdrawn_because)}</p>}
    </Notice>
  );
}

function DoneForm({ decision, onSaved, onClose }: { decision: Stored; onSaved: () => void; onClose: () => void }) {
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
    <Form problem={correction.problem} label={say.sayDoneOf(say.choice[decision.choice])} onSubmit={send}>
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

function WithdrawForm({ decision, onSaved, onClose }: { decision: Stored; onSaved: () => void; onClose: () => void }) {
  const { advice: say, common } = words.value;
  const [reason, setReason] = useState('');
  const correction = useCorrection(decision, onSaved);
  return (
    <Form
      problem={correction.problem}
      label={say.withdrawOf(say.choice[decision.choice])}
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
  const { advice: say } = words.value;
  const [open, setOpen] = useState<'done' | 'withdraw' | null>(null);
  const name = say.choice[decision.choice];
  const saved = (): void => {
    setOpen(null);
    onChange();
  };
  const close = (): void => setOpen(null);
  return (
    <article class="decision" aria-label={name}>
      <p class="decision-choice">
        <b>{name}</b> “{decision.because}”
      </p>
      <p class="quiet">{say.by(decision.recorded_by.name, format.value.moment(decision.decided_at, zoneOf(decision.site_id)))}</p>
      {decision.withdrawn_because && <p>{say.withdrawnBecause(decision.withdrawn_because)}</p>}
      <Told decision={decision} />
      {mayWrite && !decision.withdrawn_because && open === null && (
        <div class="row">
          <Button aria-label={decision.done_on ? undefined : say.sayDoneOf(name)} onClick={() => setOpen('done')}>
            {decision.done_on ? say.correctDone : say.sayDone}
          </Button>
          <Button kind="quiet" aria-label={say.withdrawOf(name)} onClick={() => setOpen('withdraw')}>
            {say.withdraw}
          </Button>
        </div>
      )}
      {open === 'done' && <DoneForm decision={decision} onSaved={saved} onClose={close} />}
      {open === 'withdraw' && <WithdrawForm decision={decision} onSaved={saved} onClose={close} />}
    </article>
  );
}
