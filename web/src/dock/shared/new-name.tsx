import { useState } from 'preact/hooks';

import { uuid7 } from '../../local/uuid7';
import { Button, NumberField, ProblemNotice, TextField } from '../../parts';
import { faultAt } from '../../problem';
import { words } from '../../words';
import { forgetNames } from './names';
import { save, useSaving } from './saving';

interface Props {
  /** Called with the id of the new name, once the list of names was read again. */
  onAdded: (id: string) => Promise<void> | void;
  onCancel: () => void;
  /** The name as a paper gives it, to begin with. */
  name?: string;
}

interface FieldsProps extends Props {
  nameLabel: string;
  add: string;
  claim?: boolean;
  put: (id: string, fields: { name: string; country?: string; claim_hours?: number }) => Promise<unknown>;
}

/** A name added in the middle of another form: a group of fields, not a form inside a form. */
function NewName({ nameLabel, add, claim = false, put, onAdded, onCancel, name: given = '' }: FieldsProps) {
  const { dock, common } = words.value;
  const said = dock.shipment;
  const [id] = useState(uuid7);
  const [name, setName] = useState(given);
  const [country, setCountry] = useState('');
  const [hours, setHours] = useState<number | null>(24);
  const saving = useSaving();
  const submit = (): void =>
    void saving.run(async () => {
      await put(id, {
        name: name.trim(),
        ...(country.trim() !== '' && { country: country.trim().toUpperCase() }),
        ...(claim && hours !== null && { claim_hours: hours }),
      });
      forgetNames();
      await onAdded(id);
    });
  const fault = (pointer: string) => faultAt(saving.problem, pointer, words.value);
  return (
    <div class="dock-inset" role="group" aria-label={add}>
      {saving.problem && <ProblemNotice problem={saving.problem} />}
      <div class="form-row">
        <TextField label={nameLabel} value={name} onValue={setName} maxLength={200} error={fault('/name')} />
        <TextField
          label={said.country}
          optional
          hint={said.countryHint}
          value={country}
          onValue={setCountry}
          maxLength={2}
          error={fault('/country')}
        />
        {claim && (
          <NumberField
            label={said.claimHours}
            hint={said.claimHoursHint}
            value={hours}
            onValue={setHours}
            min={1}
            max={720}
            error={fault('/claim_hours')}
          />
        )}
      </div>
      <div class="row">
        <Button kind="strong" busy={saving.busy} disabled={name.trim() === ''} onClick={submit}>
          {add}
        </Button>
        <Button onClick={onCancel}>{common.cancel}</Button>
      </div>
    </div>
  );
}

/** Adds a supplier where one is chosen. */
export function NewSupplier(props: Props) {
  const said = words.value.dock.shipment;
  return (
    <NewName {...props} nameLabel={said.supplierName} add={said.addSupplier} claim put={(id, fields) => save('suppliers', id, fields, null, fields.name)} />
  );
}

/** Adds a customer where one is chosen. */
export function NewCustomer(props: Props) {
  const said = words.value.dock.action;
  return <NewName {...props} nameLabel={said.customerName} add={said.newCustomer} put={(id, fields) => save('customers', id, fields, null, fields.name)} />;
}

/** Adds a farm of a supplier where one is chosen. */
export function NewFarm({ supplierId, ...props }: Props & { supplierId: string }) {
  const said = words.value.dock.lot;
  return (
    <NewName
      {...props}
      nameLabel={said.farmName}
      add={said.newFarm}
      put={(id, fields) => save('farms', id, { ...fields, supplier_id: supplierId }, null, fields.name)}
    />
  );
}
