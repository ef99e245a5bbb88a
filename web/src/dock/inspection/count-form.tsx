import type { Signal } from '@preact/signals';
import { useState } from 'preact/hooks';

import type { Crop, Lot } from '../../contract.gen';
import { atZone } from '../../local/zone';
import { Button, Form, MomentField, SelectField, TextArea } from '../../parts';
import { serverNow } from '../../session';
import { words } from '../../words';
import { commonName } from '../../organism';
import { type Names } from '../shared/names';
import type { Saving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import { adviseSample } from './advise';
import { newFinding, type InspectionDraft } from './draft';
import { Finding } from './finding';
import { LensField } from './lens';
import { Quality } from './quality';
import { Sample } from './sample';

interface Props {
  draft: Signal<InspectionDraft>;
  lot: Lot;
  crop: Crop | undefined;
  names: Names;
  saving: Saving;
  /** Called with the moment to save under when nobody typed one. */
  onSubmit: (now: string) => void;
}

/** Making an inspection: how many first, then the lens, the counts, and what else was seen. */
export function CountForm({ draft, lot, crop, names, saving, onSubmit }: Props) {
  const said = words.value.dock.inspection;
  const zone = zoneOf(lot.site_id);
  const [tried, setTried] = useState(false);
  const value = draft.value;
  const sample = adviseSample(lot, value.asked);
  const change = (part: Partial<InspectionDraft>): void => {
    draft.value = { ...draft.value, ...part };
  };
  const others = names.organisms
    .filter((organism) => !value.findings.some((finding) => finding.organismId === organism.id))
    .map((organism) => ({ value: organism.id, label: commonName(organism) }))
    .toSorted((a, b) => a.label.localeCompare(b.label));
  const submit = (): void => {
    setTried(true);
    if (value.lens === null) {
      document.querySelector<HTMLInputElement>('.dock-lens input')?.focus();
      return;
    }
    onSubmit(atZone(serverNow(), zone));
  };
  return (
    <Form problem={saving.problem} onSubmit={submit} class="dock-count">
      <Sample of={sample} asked={value.asked} change={(asked) => change({ asked })} />
      <div class="dock-lens">
        <LensField lens={value.lens} error={tried && value.lens === null ? said.lensMissing : undefined} change={(lens) => change({ lens })} />
      </div>
      <h2>{said.pests}</h2>
      {value.findings.map((finding, i) => (
        <Finding
          key={finding.organismId}
          draft={value}
          at={i}
          organism={names.organisms.find((organism) => organism.id === finding.organismId)}
          isMain={finding.organismId === crop?.main_organism_id}
          asked={sample.plants ?? null}
          change={(next) => change({ findings: draft.value.findings.map((each, j) => (j === i ? next : each)) })}
          remove={() => change({ findings: draft.value.findings.filter((_each, j) => j !== i) })}
        />
      ))}
      <SelectField
        key={value.findings.length}
        label={said.addPest}
        optional
        value={null}
        onValue={(id) => id !== null && change({ findings: [...draft.value.findings, newFinding(id)] })}
        options={others}
      />
      <h2>{said.quality}</h2>
      <Quality draft={value} rooted={lot.form === 'rooted'} change={change} />
      <TextArea label={said.note} optional pointer="/note" maxLength={4000} value={value.note} onValue={(note) => change({ note })} />
      <MomentField
        label={said.inspectedAt}
        optional
        hint={said.inspectedAtHint}
        pointer="/inspected_at"
        zone={zone}
        value={value.inspectedAt}
        onValue={(inspectedAt) => change({ inspectedAt })}
      />
      <div class="form-actions">
        <Button kind="primary" size="large" type="submit" wide busy={saving.busy}>
          {said.save}
        </Button>
      </div>
    </Form>
  );
}
