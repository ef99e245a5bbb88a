import { useState } from 'preact/hooks';

import { Button, SelectField, TextField } from '../../parts';
import { words } from '../../words';
import { farmName, loadNames, type Names } from '../shared/names';
import { NewFarm } from '../shared/new-name';

interface Props {
  farmIds: readonly string[];
  knownBy: string;
  supplierId: string;
  names: Names;
  change: (change: { farmIds?: string[]; farmKnownBy?: string }) => void;
}

/** The farms of a lot and the paper that named them; none while the farm is not known. */
export function FarmField({ farmIds, knownBy, supplierId, names: known, change }: Props) {
  const said = words.value.dock.lot;
  const { common } = words.value;
  const [names, setNames] = useState(known);
  const [adding, setAdding] = useState(false);
  const others = names.farms.filter((farm) => farm.supplier_id === supplierId && !farmIds.includes(farm.id));
  return (
    <div class="stack">
      {farmIds.length > 0 && (
        <ul class="dock-chosen">
          {farmIds.map((id) => (
            <li key={id}>
              {farmName(names, id)}
              <Button kind="quiet" aria-label={said.removeFarm(farmName(names, id))} onClick={() => change({ farmIds: farmIds.filter((other) => other !== id) })}>
                ×
              </Button>
            </li>
          ))}
        </ul>
      )}
      <div class="dock-row">
        <SelectField
          label={farmIds.length > 0 ? said.addFarm : said.farm}
          optional
          empty={farmIds.length > 0 ? common.none : said.farmUnknown}
          pointer="/farm_ids/0"
          value={null}
          onValue={(id) => id !== null && change({ farmIds: [...farmIds, id] })}
          options={others.map(({ id, name }) => ({ value: id, label: name }))}
          class="dock-row-grow"
        />
        {!adding && (
          <Button class="dock-beside" onClick={() => setAdding(true)}>
            {said.newFarm}
          </Button>
        )}
      </div>
      {adding && (
        <NewFarm
          supplierId={supplierId}
          onCancel={() => setAdding(false)}
          onAdded={async (id) => {
            setNames(await loadNames());
            change({ farmIds: [...farmIds, id] });
            setAdding(false);
          }}
        />
      )}
      {farmIds.length > 0 && (
        <TextField
          label={said.knownBy}
          optional
          hint={said.knownByHint}
          pointer="/farm_known_by"
          maxLength={200}
          value={knownBy}
          onValue={(farmKnownBy) => change({ farmKnownBy })}
        />
      )}
    </div>
  );
}
