import { useState } from 'preact/hooks';

import type { Movement, MovementKind } from '../../contract.gen';
import { Button, Details, Form, MomentField, TextArea } from '../../parts';
import { toProblem } from '../../problem';
import { words } from '../../words';
import { mayHaveArrived, refuseMissing } from '../shared/missing';
import { recordedNow } from '../shared/now';
import { saveOwn, useSaving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import { Held, refusedAsHeld } from './action/held';
import { MovementFields } from './action/movement-fields';
import type { Found } from './life/found';
import { missingInMovement, movementBodyOf, newMovement, type MovementDraft, type Standing } from './movement';

interface Props {
  kind: MovementKind;
  found: Found;
  standing: Standing;
  onSaved: (movement: Movement) => void;
  onCancel: () => void;
}

/** The customer of the dispatch before, on this lot or any other: deliveries go in rows. */
let customerBefore: string | null = null;

function begin(kind: MovementKind, { lot, own, customers }: Found, standing: Standing): MovementDraft {
  const draft = newMovement(kind, lot, standing);
  if (kind !== 'dispatch') return draft;
  const latest = own.movements.findLast((movement) => movement.kind === 'dispatch' && !movement.withdrawn_because);
  const usual = customerBefore ?? latest?.customer_id;
  return { ...draft, customer: customers.find(({ id }) => id === usual)?.id ?? null };
}

/** Records one movement of a lot. */
export function MovementForm({ kind, found, standing, onSaved, onCancel }: Props) {
  const said = words.value.dock.lot;
  const { common } = words.value;
  const { lot } = found;
  const zone = zoneOf(lot.site_id);
  const saving = useSaving();
  const [draft, setDraft] = useState<MovementDraft>(() => begin(kind, found, standing));
  const submit = (): void =>
    void saving.run(async () => {
      refuseMissing(missingInMovement(draft));
      const movedAt = draft.movedAt ?? recordedNow(zone);
      try {
        const stored = await saveOwn('movements', draft.id, movementBodyOf(draft, lot.id, movedAt));
        if (kind === 'dispatch') customerBefore = draft.customer;
        onSaved(stored);
      } catch (thrown) {
        if (mayHaveArrived(toProblem(thrown).status)) setDraft((before) => ({ ...before, movedAt }));
        throw thrown;
      }
    });
  return (
    <Form problem={refusedAsHeld(saving.problem) ? null : saving.problem} onSubmit={submit} label={said.kind[kind]} class="dock-inset dock-form">
      <MovementFields found={found} standing={standing} draft={draft} update={setDraft} />
      <Held
        problem={saving.problem}
        althoughHeld={draft.althoughHeld}
        onAlthoughHeld={(althoughHeld) => setDraft((before) => ({ ...before, althoughHeld }))}
      />
      <Details summary={`${said.movedAt}, ${said.note.toLocaleLowerCase()}`}>
        <MomentField
          label={said.movedAt}
          optional
          hint={said.movedAtHint}
          pointer="/moved_at"
          zone={zone}
          value={draft.movedAt}
          onValue={(movedAt) => setDraft((before) => ({ ...before, movedAt }))}
        />
        <TextArea
          label={said.note}
          optional
          pointer="/note"
          maxLength={2000}
          value={draft.note}
          onValue={(note) => setDraft((before) => ({ ...before, note }))}
        />
      </Details>
      <div class="form-actions">
        <Button kind="strong" type="submit" busy={saving.busy}>
          {said.record}
        </Button>
        <Button onClick={onCancel}>{common.cancel}</Button>
      </div>
    </Form>
  );
}
