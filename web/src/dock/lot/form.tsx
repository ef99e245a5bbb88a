import type { ComponentChildren } from 'preact';

import type { Form as LotForm } from '../../contract.gen';
import { Button, ChoiceField, Details, Form, NumberField, SelectField, TextArea, TextField } from '../../parts';
import { words } from '../../words';
import type { Names } from '../shared/names';
import type { Saving } from '../shared/saving';
import type { LotDraft } from './draft';
import { FarmField } from './farm-field';

interface Props {
  draft: LotDraft;
  change: (change: Partial<LotDraft>) => void;
  supplierId: string;
  names: Names;
  saving: Saving;
  onSubmit: () => void;
  /** Further buttons beside the one that saves. */
  more?: ComponentChildren;
}

const forms: readonly LotForm[] = ['unrooted', 'callused', 'rooted'];

/** The fields of a lot: cultivar and plants first; the rest can come later. */
export function LotFields({ draft, change, supplierId, names, saving, onSubmit, more }: Props) {
  const said = words.value.dock.lot;
  const { common } = words.value;
  return (
    <Form problem={saving.problem} onSubmit={onSubmit} class="dock-form">
      <div class="form-row">
        <SelectField
          label={said.cultivar}
          pointer="/cultivar_id"
          value={draft.cultivarId}
          onValue={(cultivarId) => change({ cultivarId })}
          options={names.cultivars.map(({ id, name, foliage }) => ({ value: id, label: `${name} (${common.foliage[foliage]})` }))}
        />
        <NumberField label={said.plants} hint={said.plantsHint} pointer="/plants" min={1} value={draft.plants} onValue={(plants) => change({ plants })} />
      </div>
      <ChoiceField
        label={said.form}
        pointer="/form"
        value={draft.form}
        onValue={(form) => change({ form })}
        options={forms.map((value) => ({ value, label: common.form[value] }))}
      />
      <FarmField farmIds={draft.farmIds} knownBy={draft.farmKnownBy} supplierId={supplierId} names={names} change={change} />
      <TextField
        label={said.supplierLotCode}
        optional
        pointer="/supplier_lot_code"
        maxLength={60}
        value={draft.supplierLotCode}
        onValue={(supplierLotCode) => change({ supplierLotCode })}
      />
      <Details summary={`${said.rootingStation}, ${said.code.toLocaleLowerCase()}, ${said.note.toLocaleLowerCase()}`}>
        <TextField
          label={said.rootingStation}
          optional
          pointer="/rooting_station"
          maxLength={120}
          value={draft.rootingStation}
          onValue={(rootingStation) => change({ rootingStation })}
        />
        <TextField label={said.code} optional hint={said.codeHint} pointer="/code" maxLength={40} value={draft.code} onValue={(code) => change({ code })} />
        <TextArea label={said.note} optional pointer="/note" maxLength={2000} value={draft.note} onValue={(note) => change({ note })} />
      </Details>
      <div class="form-actions">
        <Button kind="primary" type="submit" busy={saving.busy}>
          {said.save}
        </Button>
        {more}
      </div>
    </Form>
  );
}
