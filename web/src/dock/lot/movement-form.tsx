import { useState } from 'preact/hooks';

import type { MovementKind } from '../../contract.gen';
import { Button, Details, Form, MomentField, TextArea } from '../../parts';
import { words } from '../../words';
import { refuseMissing } from '../shared/missing';
import { recordedNow } from '../shared/now';
import { ask, useSaving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import { lotTitle } from '../shared/titles';
import { Held, refusedAsHeld } from './action/held';
import { MovementFields } from './action/movement-fields';
import type { Found } from './life/found';
import { movementTitle, type Moved } from './action/undo';
import { missingInMovement, movementBodyOf, newMovement, type MovementDraft, type Standing } from './movement';

interface Props {
  kind: MovementKind;
  found: Found;
  standing: Standing;
  onSaved: (movement: Moved) => void;
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
      const body = movementBodyOf(draft, lot.id, movedAt);
      const version = await ask('movements', draft.id, body, null, movementTitle(kind, lotTitle(found.names, lot)));
      if (kind === 'dispatch') customerBefore = draft.customer;
      onSaved({ id: draft.id, version, body });
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
