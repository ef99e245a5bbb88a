import { useState } from 'preact/hooks';

import type { Farm, Form } from '../../contract.gen';
import { Button, NumberField, ProblemNotice, SelectField, Tag, TextField } from '../../parts';
import { faultAt, type ApiProblem } from '../../problem';
import { words } from '../../words';
import { cultivarName, farmName, type Names } from '../shared/names';
import { NewFarm } from '../shared/new-name';
import { isComplete, openFaults, type PasteRow } from './paste';

interface Props {
  row: PasteRow;
  names: Names;
  supplierId: string;
  problem: ApiProblem | null;
  change: (change: Partial<PasteRow>) => void;
  farmAdded: (id: string) => Promise<void>;
}

const forms: readonly Form[] = ['unrooted', 'callused', 'rooted'];

function faultText(row: PasteRow, ending: string): string | undefined {
  const table: Record<string, string> = words.value.dock.shipment.paste.faults;
  const found = openFaults(row).filter(({ pointer }) => pointer.endsWith(ending));
  return found.length > 0 ? found.map(({ code, detail }) => table[code] ?? detail).join(' ') : undefined;
}

/** One line of the list: the text as pasted, how it was read, and the fields to mend it. */
export function PasteRowFields({ row, names, supplierId, problem, change, farmAdded }: Props) {
  const { dock, common } = words.value;
  const said = dock.shipment.paste;
  const [addingFarm, setAddingFarm] = useState(false);
  const served = (pointer: string): string | undefined => faultAt(problem, pointer, words.value);
  const farms = names.farms.filter((farm: Farm) => farm.supplier_id === supplierId);
  const still = row.saved || row.leftOut;
  const [mending, setMending] = useState(!isComplete(row));
  const showFields = !still && (mending || problem !== null);
  return (
    <li class={still ? 'dock-paste dock-paste-still' : 'dock-paste'}>
      <div class="dock-paste-head">
        <p>
          <b>{said.line(row.line)}</b> <span class="dock-pasted">{row.text}</span>
        </p>
        {row.saved ? (
          <Tag>{said.saved}</Tag>
        ) : (
          <Button kind="quiet" aria-label={`${row.leftOut ? said.takeIn : said.leaveOut}: ${said.line(row.line)}`} onClick={() => change({ leftOut: !row.leftOut })}>
            {row.leftOut ? said.takeIn : said.leaveOut}
          </Button>
        )}
      </div>
      {problem && <ProblemNotice problem={problem} />}
      {faultText(row, '/line') !== undefined && <p class="field-fault">{faultText(row, '/line')}</p>}
      {!row.leftOut && !showFields && (
        <p>
          {[
            `${cultivarName(names, row.cultivarId)}, ${common.plants(row.plants ?? 0)}`,
            common.form[row.form],
            row.farmId === null ? `${dock.shipment.farm}: ${common.unknown}` : farmName(names, row.farmId),
            row.lotCode,
          ]
            .filter(Boolean)
            .join(' · ')}
        </p>
      )}
      {!still && !showFields && faultText(row, '/farm_name') !== undefined && (
        <p class="quiet">
          {said.onList(row.farmName)}. {faultText(row, '/farm_name')}
        </p>
      )}
      {showFields && (
        <div class="form-row">
          <SelectField
            label={dock.shipment.cultivar}
            value={row.cultivarId}
            onValue={(cultivarId) => change({ cultivarId })}
            options={names.cultivars.map(({ id, name }) => ({ value: id, label: name }))}
            hint={row.cultivarId === null && row.cultivarName !== '' ? said.onList(row.cultivarName) : undefined}
            error={served('/cultivar_id') ?? faultText(row, '/cultivar_name')}
          />
          <NumberField
            label={dock.lot.movePlants}
            value={row.plants}
            onValue={(plants) => change({ plants })}
            min={1}
            error={served('/plants') ?? faultText(row, '/plants')}
          />
          <SelectField
            label={dock.shipment.farm}
            optional
            empty={common.unknown}
            value={row.farmId}
            onValue={(farmId) => change({ farmId })}
            options={farms.map(({ id, name }) => ({ value: id, label: name }))}
            hint={row.farmId === null && row.farmName !== '' ? said.onList(row.farmName) : undefined}
            error={served('/farm_ids/0') ?? faultText(row, '/farm_name')}
          />
          <SelectField
            label={dock.lot.form}
            value={row.form}
            onValue={(form) => form && change({ form })}
            options={forms.map((value) => ({ value, label: common.form[value] }))}
          />
          <TextField
            label={dock.lot.supplierLotCode}
            optional
            value={row.lotCode}
            onValue={(lotCode) => change({ lotCode })}
            maxLength={60}
            error={served('/supplier_lot_code')}
          />
        </div>
      )}
      {!still && (
        <div class="row">
          {!showFields && (
            <Button aria-label={`${dock.shipment.correct}: ${said.line(row.line)}`} onClick={() => setMending(true)}>
              {dock.shipment.correct}
            </Button>
          )}
          {row.farmId === null && row.farmName !== '' && !addingFarm && (
            <Button onClick={() => setAddingFarm(true)}>
              {dock.lot.newFarm}: {row.farmName}
            </Button>
          )}
        </div>
      )}
      {addingFarm && row.farmId === null && (
        <NewFarm
          supplierId={supplierId}
          name={row.farmName}
          onCancel={() => setAddingFarm(false)}
          onAdded={async (id) => {
            await farmAdded(id);
            setAddingFarm(false);
          }}
        />
      )}
    </li>
  );
}
