import { useState } from 'preact/hooks';

import type { HoldBody, HoldKind, Lot } from '../../../contract.gen';
import { uuid7 } from '../../../local/uuid7';
import { Button, ChoiceField, Details, Form, MomentField, TextField } from '../../../parts';
import { words } from '../../../words';
import { refuseMissing } from '../../shared/missing';
import { recordedNow } from '../../shared/now';
import { ask, useSaving } from '../../shared/saving';
import { zoneOf } from '../../shared/site';
import { ReasonField } from './reason-field';
import type { HeldNow } from './undo';

interface Props {
  lot: Lot;
  /** What a person calls the lot. */
  title: string;
  onSaved: (hold: HeldNow) => void;
  onCancel: () => void;
}

const kinds: readonly HoldKind[] = ['internal', 'supplier', 'official'];

/** Holds the lot from now on. */
export function HoldForm({ lot, title, onSaved, onCancel }: Props) {
  const { dock, common } = words.value;
  const said = dock.action;
  const zone = zoneOf(lot.site_id);
  const saving = useSaving();
  const [id] = useState(uuid7);
  const [kind, setKind] = useState<HoldKind>('internal');
  const [reason, setReason] = useState('');
  const [paper, setPaper] = useState('');
  const [from, setFrom] = useState<string | null>(null);
  const submit = (): void =>
    void saving.run(async () => {
      refuseMissing([reason.trim() === '' && '/reason']);
      const fromAt = from ?? recordedNow(zone);
      setFrom(fromAt); // a second try says the same moment
      const body: HoldBody = {
        scope: 'lot',
        scope_id: lot.id,
        kind,
        from_at: fromAt,
        reason: reason.trim(),
        ...(paper.trim() !== '' && { paper_number: paper.trim() }),
      };
      onSaved({ id, version: await ask('holds', id, body, null, title), body });
    });
  return (
    <Form problem={saving.problem} onSubmit={submit} label={said.hold} class="dock-inset dock-form">
      <ReasonField label={said.holdWhy} ownLabel={said.holdWhyOwn} reasons={said.holdReasons} maxLength={500} value={reason} onValue={setReason} />
      <ChoiceField
        label={said.holdKind}
        pointer="/kind"
        value={kind}
        onValue={setKind}
        options={kinds.map((value) => ({ value, label: dock.life.hold[value] }))}
      />
      <Details summary={`${dock.lot.movedAt}, ${said.holdPaper.toLocaleLowerCase()}`}>
        <MomentField label={dock.lot.movedAt} optional hint={dock.lot.movedAtHint} pointer="/from_at" zone={zone} value={from} onValue={setFrom} />
        <TextField label={said.holdPaper} optional pointer="/paper_number" maxLength={100} value={paper} onValue={setPaper} />
      </Details>
      <div class="form-actions">
        <Button kind="strong" type="submit" busy={saving.busy}>
          {said.hold}
        </Button>
        <Button onClick={onCancel}>{common.cancel}</Button>
      </div>
    </Form>
  );
}
