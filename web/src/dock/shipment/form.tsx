import { useState } from 'preact/hooks';

import { Button, DateField, Form, MomentField, SelectField, TextArea } from '../../parts';
import { sites } from '../../session';
import { words } from '../../words';
import { loadNames, type Names } from '../shared/names';
import { NewSupplier } from '../shared/new-name';
import type { Saving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import type { ShipmentDraft } from './draft';
import { Boxes, OrderLines, Papers } from './rows';

interface Props {
  draft: ShipmentDraft;
  change: (change: Partial<ShipmentDraft>) => void;
  names: Names;
  saving: Saving;
  onSubmit: () => void;
  submit: string;
}

function SupplierField({ draft, change, names: known }: Pick<Props, 'draft' | 'change' | 'names'>) {
  const said = words.value.dock.shipment;
  const [names, setNames] = useState(known);
  const [adding, setAdding] = useState(false);
  return (
    <>
      <div class="dock-row">
        <SelectField
          label={said.supplier}
          pointer="/supplier_id"
          value={draft.supplierId}
          onValue={(supplierId) => change({ supplierId })}
          options={names.suppliers.map(({ id, name }) => ({ value: id, label: name }))}
          class="dock-row-grow"
        />
        {!adding && (
          <Button class="dock-beside" onClick={() => setAdding(true)}>
            {said.newSupplier}
          </Button>
        )}
      </div>
      {adding && (
        <NewSupplier
          onCancel={() => setAdding(false)}
          onAdded={async (supplierId) => {
            setNames(await loadNames());
            change({ supplierId });
            setAdding(false);
          }}
        />
      )}
    </>
  );
}

/** The fields of a shipment: who and when first, then the order, times, papers and boxes. */
export function ShipmentForm({ draft, change, names, saving, onSubmit, submit }: Props) {
  const said = words.value.dock.shipment;
  const zone = zoneOf(draft.siteId);
  return (
    <Form problem={saving.problem} onSubmit={onSubmit} class="dock-form">
      {sites.value.length > 1 && (
        <SelectField
          label={said.site}
          pointer="/site_id"
          value={draft.siteId}
          onValue={(siteId) => siteId !== null && change({ siteId })}
          options={sites.value.map(({ id, name }) => ({ value: id, label: name }))}
        />
      )}
      <SupplierField draft={draft} change={change} names={names} />
      <DateField label={said.expectedOn} pointer="/expected_on" value={draft.expectedOn} onValue={(expectedOn) => change({ expectedOn })} />

      <fieldset class="dock-group">
        <legend>{said.order}</legend>
        <p class="lead">{said.orderLead}</p>
        <OrderLines draft={draft} change={change} names={names} />
      </fieldset>

      <fieldset class="dock-group">
        <legend>{said.times}</legend>
        <p class="lead">
          {said.timesLead} {words.value.common.siteTime(zone)}.
        </p>
        <div class="dock-moments">
          <MomentField label={said.leftAt} optional hint="" zone={zone} pointer="/left_at" value={draft.leftAt} onValue={(leftAt) => change({ leftAt })} />
          <MomentField label={said.landedAt} optional hint="" zone={zone} pointer="/landed_at" value={draft.landedAt} onValue={(landedAt) => change({ landedAt })} />
          <MomentField label={said.dockedAt} optional hint="" zone={zone} pointer="/docked_at" value={draft.dockedAt} onValue={(dockedAt) => change({ dockedAt })} />
          <MomentField label={said.openedAt} optional hint="" zone={zone} pointer="/opened_at" value={draft.openedAt} onValue={(openedAt) => change({ openedAt })} />
        </div>
      </fieldset>

      <fieldset class="dock-group">
        <legend>{said.papers}</legend>
        <Papers draft={draft} change={change} />
      </fieldset>

      <fieldset class="dock-group">
        <legend>{said.boxes}</legend>
        <p class="lead">{said.boxesLead}</p>
        <Boxes draft={draft} change={change} zone={zone} />
      </fieldset>

      <TextArea label={said.note} optional pointer="/note" maxLength={2000} value={draft.note} onValue={(note) => change({ note })} />
      <div class="form-actions">
        <Button kind="primary" type="submit" busy={saving.busy}>
          {submit}
        </Button>
      </div>
    </Form>
  );
}
