import { useState } from 'preact/hooks';

import { dateAt } from '../../../local/zone';
import { Button, ButtonLink, ChoiceField, Details, Form, MomentField } from '../../../parts';
import { format, words } from '../../../words';
import { refuseMissing } from '../../shared/missing';
import { recordedNow } from '../../shared/now';
import { ask, useSaving } from '../../shared/saving';
import { zoneOf } from '../../shared/site';
import { lotTitle } from '../../shared/titles';
import type { Found } from '../life/found';
import { inForce } from '../life/sentence';
import { holdBody, type HeldNow } from './undo';

interface Props {
  found: Found;
  /** The hold as it was, over the version it has now. */
  onSaved: (before: HeldNow) => void;
  onCancel: () => void;
}

/** Ends a hold from now on. One that a verdict laid ends with the next verdict. */
export function LiftForm({ found, onSaved, onCancel }: Props) {
  const { dock, common } = words.value;
  const said = dock.action;
  const zone = zoneOf(found.lot.site_id);
  const saving = useSaving();
  const holds = inForce(found.life).filter(({ by }) => by === 'hold');
  const byVerdict = inForce(found.life).flatMap(({ by, id }) => (by === 'verdict' ? found.own.verdicts.filter((verdict) => verdict.id === id) : []));
  const [chosen, setChosen] = useState<string | null>(holds[0]?.id ?? null);
  const [at, setAt] = useState<string | null>(null);
  const hold = holds.find(({ id }) => id === chosen);
  const submit = (): void =>
    void saving.run(async () => {
      refuseMissing([chosen === null && '/scope_id']);
      const before = found.holds.find(({ id }) => id === chosen);
      if (!before) return;
      const body = holdBody(before);
      const lifted = { ...body, to_at: at ?? recordedNow(zone) };
      const version = await ask('holds', before.id, lifted, before.version, lotTitle(found.names, found.lot));
      onSaved({ id: before.id, version, body });
    });
  return (
    <Form problem={saving.problem} onSubmit={submit} label={said.lift} class="dock-inset dock-form">
      {holds.length > 0 && (
        <ChoiceField
          label={said.liftWhich}
          pointer="/scope_id"
          value={chosen}
          onValue={setChosen}
          options={holds.map(({ id, kind, reason, from_at }) => ({
            value: id,
            label: reason ?? dock.life.hold[kind],
            hint: `${dock.life.hold[kind]}, ${format.value.date(dateAt(from_at, zone))}`,
          }))}
        />
      )}
      {hold?.scope !== undefined && hold.scope_id !== found.lot.id && <p>{said.liftWide(dock.life.scope[hold.scope])}</p>}
      {byVerdict.map((verdict) => (
        <p key={verdict.id}>
          {said.liftByVerdict} <ButtonLink to={`/dock/inspections/${verdict.inspection_id}`}>{said.liftOpenInspection}</ButtonLink>
        </p>
      ))}
      {holds.length > 0 && (
        <Details summary={dock.lot.movedAt}>
          <MomentField label={dock.lot.movedAt} optional hint={dock.lot.movedAtHint} pointer="/to_at" zone={zone} value={at} onValue={setAt} />
        </Details>
      )}
      <div class="form-actions">
        {holds.length > 0 && (
          <Button kind="strong" type="submit" busy={saving.busy}>
            {said.lift}
          </Button>
        )}
        <Button onClick={onCancel}>{common.cancel}</Button>
      </div>
    </Form>
  );
}
