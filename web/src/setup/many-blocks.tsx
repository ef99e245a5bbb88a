import { useState } from 'preact/hooks';

import { save } from '../api';
import type { Block, House, Section } from '../contract.gen';
import { uuid7 } from '../local/uuid7';
import { Button, Details, Form, notify, NumberField, Progress, SelectField, TextField } from '../parts';
import { toProblem, type ApiProblem } from '../problem';
import { format, words } from '../words';
import { blockNames, mostBlocks } from './block-names';
import { namesInUse, SharedName } from './shared-name';

interface ManyBlocksProps {
  house: House;
  sections: readonly Section[];
  /** The blocks of the site, for the names of water and tools in use. */
  blocks: readonly Block[];
  firstPosition: number;
  onSaved: () => void;
}

/** Adds a row of blocks in one go. What was stored before a failure stays stored; trying again goes on with the rest. */
export function ManyBlocks({ house, sections, blocks, firstPosition, onSaved }: ManyBlocksProps) {
  const { setup, common } = words.value;
  const [prefix, setPrefix] = useState('');
  const [first, setFirst] = useState<number | null>(1);
  const [last, setLast] = useState<number | null>(null);
  const [sectionId, setSectionId] = useState<string | null>(null);
  const [water, setWater] = useState('');
  const [tools, setTools] = useState('');
  const [done, setDone] = useState<readonly string[]>([]);
  const [ids] = useState(() => new Map<string, string>());
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const names = blockNames(prefix, first ?? -1, last ?? -1);
  const example = names.length > 1 ? setup.manyNames(names[0] ?? '', names.at(-1) ?? '') : undefined;

  const send = async (): Promise<void> => {
    setBusy(true);
    setProblem(null);
    const stored = [...done];
    try {
      for (const [i, name] of names.entries()) {
        if (stored.includes(name)) continue;
        const id = ids.get(name) ?? uuid7();
        ids.set(name, id);
        await save('blocks', id, {
          house_id: house.id,
          name,
          position: firstPosition + i,
          ...(sectionId !== null && { section_id: sectionId }),
          ...(water.trim() !== '' && { water: water.trim() }),
          ...(tools.trim() !== '' && { tools: tools.trim() }),
        });
        stored.push(name);
        setDone([...stored]);
      }
      notify(setup.manySaved(names.length));
      setDone([]);
      ids.clear();
      setLast(null);
      onSaved();
    } catch (thrown) {
      setProblem(toProblem(thrown));
    }
    setBusy(false);
  };

  return (
    <Details summary={setup.add.blocks}>
      <Form problem={problem} label={setup.add.blocks} onSubmit={() => void (names.length > 0 && send())}>
        <div class="form-row">
          <TextField label={setup.field.prefix} hint={setup.hint.prefix} optional value={prefix} onValue={setPrefix} maxLength={40} pointer="/name" />
          <NumberField label={setup.field.firstNumber} min={0} value={first} onValue={setFirst} />
          <NumberField label={setup.field.lastNumber} min={0} value={last} onValue={setLast} hint={example ?? setup.hint.lastNumber(mostBlocks)} />
        </div>
        {sections.length > 0 && (
          <SelectField
            label={setup.field.section}
            optional
            empty={common.none}
            value={sectionId}
            onValue={setSectionId}
            options={sections.map(({ id, name }) => ({ value: id, label: name }))}
          />
        )}
        <div class="form-row">
          <SharedName label={setup.field.water} hint={setup.hint.water} pointer="/water" value={water} onValue={setWater} names={namesInUse(blocks, 'water')} />
          <SharedName label={setup.field.tools} hint={setup.hint.tools} pointer="/tools" value={tools} onValue={setTools} names={namesInUse(blocks, 'tools')} />
        </div>
        {busy && <Progress label={format.value.of(done.length, names.length)} value={done.length} max={names.length} />}
        <div class="form-actions">
          <Button kind="primary" type="submit" busy={busy} disabled={names.length === 0}>
            {names.length === 0 ? setup.add.blocks : setup.addMany(names.length)}
          </Button>
        </div>
      </Form>
    </Details>
  );
}
