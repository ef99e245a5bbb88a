import { useState } from 'preact/hooks';

import type { Claim, ClaimBody } from '../../contract.gen';
import { atZone } from '../../local/zone';
import { Button, Details, Form, MomentField, notify, TextArea, TextField } from '../../parts';
import { serverNow } from '../../session';
import { words } from '../../words';
import { refuseMissing } from '../shared/missing';
import { save, useSaving } from '../shared/saving';
import { claimBody } from './draft';

interface Props {
  claim: Claim;
  /** What a person calls it. */
  title: string;
  zone: string;
  changed: () => void;
}

/** Says that the claim was sent: when, how and to whom. */
export function SentForm({ claim, title, zone, changed }: Props) {
  const said = words.value.dock.claim;
  const saving = useSaving();
  const [at, setAt] = useState<string | null>(claim.sent_at ?? atZone(serverNow(), zone));
  const [by, setBy] = useState(claim.sent_by ?? '');
  const submit = (): void =>
    void saving.run(async () => {
      refuseMissing([at === null && '/sent_at']);
      const body: ClaimBody = { ...claim, sent_at: at, sent_by: by.trim() || null };
      await save('claims', claim.id, claimBody(body), claim.version, title);
      notify(said.sentSaved);
      changed();
    });
  return (
    <Form problem={saving.problem} onSubmit={submit} label={said.sentTitle} class="dock-form">
      <p class="lead">{said.sentLead}</p>
      <MomentField label={said.sentAt} pointer="/sent_at" zone={zone} value={at} onValue={setAt} />
      <TextField label={said.sentBy} hint={said.sentByHint} pointer="/sent_by" optional maxLength={200} value={by} onValue={setBy} />
      <div class="form-actions">
        <Button kind="strong" type="submit" busy={saving.busy}>
          {said.saveSent}
        </Button>
      </div>
    </Form>
  );
}

/** Writes down what the supplier answered and granted. */
export function AnswerForm({ claim, title, zone, changed }: Props) {
  const said = words.value.dock.claim;
  const saving = useSaving();
  const [at, setAt] = useState<string | null>(claim.answered_at ?? null);
  const [answer, setAnswer] = useState(claim.answer ?? '');
  const [amount, setAmount] = useState(claim.credit?.amount ?? '');
  const [currency, setCurrency] = useState(claim.credit?.currency ?? '');
  const submit = (): void =>
    void saving.run(async () => {
      const granted = amount.trim() !== '' || currency.trim() !== '';
      refuseMissing([at === null && '/answered_at', granted && amount.trim() === '' && '/credit/amount', granted && currency.trim() === '' && '/credit/currency']);
      const credit = granted ? { amount: amount.trim().replace(',', '.'), currency: currency.trim().toUpperCase() } : null;
      const body: ClaimBody = { ...claim, answered_at: at, answer: answer.trim() || null, credit };
      await save('claims', claim.id, claimBody(body), claim.version, title);
      notify(said.answerSaved);
      changed();
    });
  return (
    <Form problem={saving.problem} onSubmit={submit} label={said.answerTitle} class="dock-form">
      <p class="lead">{said.answerLead}</p>
      <MomentField label={said.answeredWhen} pointer="/answered_at" zone={zone} value={at} onValue={setAt} />
      <TextArea label={said.answer} pointer="/answer" optional rows={3} maxLength={4000} value={answer} onValue={setAnswer} />
      <div class="form-row">
        <TextField label={said.credit} pointer="/credit/amount" optional maxLength={13} value={amount} onValue={setAmount} />
        <TextField label={said.currency} hint={said.currencyHint} pointer="/credit/currency" optional maxLength={3} value={currency} onValue={setCurrency} />
      </div>
      <div class="form-actions">
        <Button kind="strong" type="submit" busy={saving.busy}>
          {said.saveAnswer}
        </Button>
      </div>
    </Form>
  );
}

/** What comes next for a claim: sending it, then its answer. What was said can be said anew. */
export function NextStep({ claim, title, zone, changed }: Props) {
  const said = words.value.dock.claim;
  if (!claim.sent_at) {
    return (
      <Details summary={said.sentTitle} open>
        <SentForm claim={claim} title={title} zone={zone} changed={changed} />
      </Details>
    );
  }
  return (
    <>
      <Details summary={said.answerTitle}>
        <AnswerForm claim={claim} title={title} zone={zone} changed={changed} />
      </Details>
      {!claim.answered_at && (
        <Details summary={said.sentTitle}>
          <SentForm claim={claim} title={title} zone={zone} changed={changed} />
        </Details>
      )}
    </>
  );
}
