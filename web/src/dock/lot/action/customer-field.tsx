import { useState } from 'preact/hooks';

import type { Customer } from '../../../contract.gen';
import { Button, SelectField } from '../../../parts';
import { words } from '../../../words';
import { NewCustomer } from '../../shared/new-name';

interface Props {
  customers: readonly Customer[];
  value: string | null;
  onValue: (customer: string | null) => void;
}

/** Who the plants go to, and a way to add one that is not in the list. */
export function CustomerField({ customers, value, onValue }: Props) {
  const said = words.value.dock.action;
  const [adding, setAdding] = useState(customers.length === 0);
  return (
    <div class="stack">
      <div class="dock-row">
        <SelectField
          label={said.customer}
          pointer="/customer_id"
          value={value}
          onValue={onValue}
          options={customers.toSorted((a, b) => a.name.localeCompare(b.name)).map(({ id, name }) => ({ value: id, label: name }))}
          class="dock-row-grow"
        />
        {!adding && (
          <Button class="dock-beside" onClick={() => setAdding(true)}>
            {said.newCustomer}
          </Button>
        )}
      </div>
      {adding && (
        <NewCustomer
          onCancel={() => setAdding(false)}
          onAdded={(id) => {
            onValue(id);
            setAdding(false);
          }}
        />
      )}
    </div>
  );
}
