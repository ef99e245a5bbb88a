import { useId, useState } from 'preact/hooks';

import type { Lot, Movement, MovementKind } from '../../contract.gen';
import { atZone } from '../../local/zone';
import { Button, Details, Form, MomentField, Notice, NumberField, SelectField, TextArea, TextField } from '../../parts';
import { toProblem } from '../../problem';
import { serverNow } from '../../session';
import { words } from '../../words';
import { mayHaveArrived, refuseMissing } from '../shared/missing';
import { saveOwn, useSaving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import { BlockField } from './block-field';
import { asksFrom, asksTo, missingInMovement, movementBodyOf, newMovement, thereAt, unplaced, type MovementDraft, type Standing } from './movement';
import { blockName, type Places } from './places';

interface Props {
  kind: MovementKind;
  lot: Lot;
  standing: Standing;
  places: Places;
  onSaved: (movement: Movement) => void;
  onCancel: () => void;
}

/** Records one movement of a lot. */
export function MovementForm({ kind, lot, standing, places, onSaved, onCancel }: Props) {
  const said = words.value.dock.lot;
  const { common } = words.value;
  const zone = zoneOf(lot.site_id);
  const reasons = useId();
  const saving = useSaving();
  const [draft, setDraft] = useState<MovementDraft>(() => newMovement(kind, lot, standing));
  const change = (part: Partial<MovementDraft>): void => setDraft((before) => ({ ...before, ...part }));
  const there = kind === 'stick' ? standing.unplaced : thereAt(draft.from, standing);
  const submit = (): void =>
    void saving.run(async () => {
      refuseMissing(missingInMovement(draft));
      const movedAt = draft.movedAt ?? atZone(serverNow(), zone);
      try {
        onSaved(await saveOwn('movements', draft.id, movementBodyOf(draft, lot.id, movedAt)));
      } catch (thrown) {
        if (mayHaveArrived(toProblem(thrown).status)) change({ movedAt });
        throw thrown;
      }
    });
  const sources = [
    ...standing.blocks.map(({ blockId, plants }) => ({ value: blockId, label: `${blockName(places, blockId)} (${common.plants(plants)})` })),
    ...(kind !== 'move' && standing.unplaced > 0 ? [{ value: unplaced, label: `${said.notPlaced} (${common.plants(standing.unplaced)})` }] : []),
  ];
  const to = asksTo(kind);
  return (
    <Form problem={saving.problem} onSubmit={submit} label={said.kind[kind]} class="dock-inset dock-form">
      {lot.verdict === 'hold' && (kind === 'move' || kind === 'stick' || kind === 'pot' || kind === 'discard') && (
        <Notice kind="doubt">
          <p>{said.heldWarning}</p>
        </Notice>
      )}
      {asksFrom(kind) && (
        <SelectField
          label={said.fromBlock}
          pointer="/from_block_id"
          value={draft.from}
          onValue={(from) => change({ from, ...(kind !== 'discard' && { plants: thereAt(from, standing) }) })}
          options={sources}
        />
      )}
      <NumberField
        label={said.movePlants}
        pointer="/plants"
        min={1}
        steps
        value={draft.plants}
        onValue={(plants) => change({ plants })}
        hint={kind === 'receive' ? said.countHint(lot.plants) : there !== null ? said.there(there) : undefined}
      />
      {to !== 'never' && (
        <div class="form-row">
          <BlockField
            label={said.toBlock}
            places={places}
            pointer="/to_block_id"
            value={draft.to}
            onValue={(block) => change({ to: block })}
            optional={to === 'maybe'}
            hint={to === 'maybe' ? said.toBlockHint : undefined}
          />
        </div>
      )}
      {kind === 'discard' && (
        <>
          <TextField label={said.reason} pointer="/reason" maxLength={200} list={reasons} value={draft.reason} onValue={(reason) => change({ reason })} />
          <datalist id={reasons}>
            {said.reasons.map((reason) => (
              <option key={reason} value={reason} />
            ))}
          </datalist>
        </>
      )}
      <Details summary={`${said.movedAt}, ${said.note.toLocaleLowerCase()}`}>
        <MomentField
          label={said.movedAt}
          optional
          hint={said.movedAtHint}
          pointer="/moved_at"
          zone={zone}
          value={draft.movedAt}
          onValue={(movedAt) => change({ movedAt })}
        />
        <TextArea label={said.note} optional pointer="/note" maxLength={2000} value={draft.note} onValue={(note) => change({ note })} />
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
