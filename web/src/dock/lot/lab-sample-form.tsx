import { useState } from 'preact/hooks';

import type { LabSample, LabSampleBody, Placement } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import { Button, ChoiceField, DateField, Form, MomentField, NumberField, SelectField, TextArea, TextField } from '../../parts';
import { words } from '../../words';
import { refuseMissing } from '../shared/missing';
import { save, useSaving } from '../shared/saving';
import { blocksAt, labBodyOf, type LabDraft } from './lab-sample';
import { blockName, type Places } from './places';

/** A sample as it was saved. */
export interface LabSaved {
  id: string;
  version: number;
  body: LabSampleBody;
}

interface Props {
  start: LabDraft;
  /** The stored sample, when it is corrected. */
  sample?: LabSample;
  label: string;
  zone: string;
  places: Places;
  placements: readonly Placement[];
  /** What a person calls the lot. */
  title: string;
  onSaved: (saved: LabSaved) => void;
  onCancel: () => void;
  /** Drops what is typed and fetches what is there. */
  onReload: () => void;
}

/** Writes down a sample, and later what the laboratory answered. */
export function LabSampleForm({ start, sample, label, title, zone, places, placements, onSaved, onCancel, onReload }: Props) {
  const { common, dock } = words.value;
  const said = dock.lab;
  const saving = useSaving();
  const [draft, setDraft] = useState(start);
  const change = (part: Partial<LabDraft>): void => setDraft((before) => ({ ...before, ...part }));
  const submit = (): void =>
    void saving.run(async () => {
      refuseMissing([draft.takenAt === null && '/taken_at']);
      const body = labBodyOf(draft);
      onSaved({ id: draft.id, version: await save('lab-samples', draft.id, body, sample?.version ?? null, title), body });
    });
  return (
    <Form problem={saving.problem} onSubmit={submit} label={label} class="dock-inset dock-form">
      {saving.problem?.isStale && (
        <div>
          <Button onClick={onReload}>{dock.loadCurrent}</Button>
        </div>
      )}
      <MomentField label={said.takenAt} pointer="/taken_at" zone={zone} value={draft.takenAt} onValue={(takenAt) => change({ takenAt })} />
      <div class="form-row">
        <SelectField
          label={said.block}
          hint={said.blockHint}
          pointer="/block_id"
          optional
          empty={said.noBlock}
          value={draft.block}
          onValue={(block) => change({ block })}
          options={blocksAt(placements, draft.takenAt, draft.block).map(({ blockId, plants }) => ({
            value: blockId,
            label: plants === null ? blockName(places, blockId) : `${blockName(places, blockId)} (${common.plants(plants)})`,
          }))}
        />
        <NumberField label={said.plants} pointer="/plants" optional min={1} value={draft.plants} onValue={(plants) => change({ plants })} />
      </div>
      <div class="form-row">
        <TextField
          label={said.lookedFor}
          hint={said.lookedForHint}
          pointer="/looked_for"
          optional
          maxLength={200}
          value={draft.lookedFor}
          onValue={(lookedFor) => change({ lookedFor })}
        />
        <TextField
          label={said.laboratory}
          pointer="/laboratory"
          optional
          maxLength={200}
          value={draft.laboratory}
          onValue={(laboratory) => change({ laboratory })}
        />
      </div>
      <TextField
        label={said.sampleNumber}
        hint={said.sampleNumberHint}
        pointer="/sample_number"
        optional
        autocomplete="off"
        maxLength={100}
        value={draft.sampleNumber}
        onValue={(sampleNumber) => change({ sampleNumber })}
      />
      <ChoiceField
        label={said.result}
        hint={said.resultHint}
        pointer="/result"
        value={draft.result}
        onValue={(result) => change({ result })}
        options={(['waiting', 'found', 'not_found'] as const).map((value) => ({ value, label: said.results[value] }))}
      />
      {draft.result !== 'waiting' && (
        <div class="form-row">
          <DateField
            label={said.resultOn}
            pointer="/result_on"
            optional
            {...(draft.takenAt !== null && { min: dateAt(draft.takenAt, zone) })}
            value={draft.resultOn}
            onValue={(resultOn) => change({ resultOn })}
          />
          <TextField
            label={said.reportNumber}
            pointer="/report_number"
            optional
            autocomplete="off"
            maxLength={100}
            value={draft.reportNumber}
            onValue={(reportNumber) => change({ reportNumber })}
          />
        </div>
      )}
      <TextArea label={said.note} pointer="/note" optional rows={2} maxLength={2000} value={draft.note} onValue={(note) => change({ note })} />
      <div class="form-actions">
        <Button kind="strong" type="submit" busy={saving.busy}>
          {common.save}
        </Button>
        <Button onClick={onCancel}>{common.cancel}</Button>
      </div>
    </Form>
  );
}
