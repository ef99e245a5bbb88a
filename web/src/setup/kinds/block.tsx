import { fetchOne, save } from '../../api';
import type { Block, BlockBody, House, Section } from '../../contract.gen';
import { CheckField, NumberField, SelectField, TextField } from '../../parts';
import { format, words } from '../../words';
import type { Kind } from '../record/kind';
import { namesInUse, SharedName } from '../shared-name';

/** Blocks of a site with these houses and sections; the blocks there are lend their names of water and tools. */
export function block(houses: readonly House[], sections: readonly Section[], blocks: readonly Block[]): Kind<BlockBody, Block> {
  const named = (list: readonly { id: string; name: string }[], id: string | null | undefined): string =>
    list.find((one) => one.id === id)?.name ?? words.value.common.none;
  const options = (list: readonly { id: string; name: string }[]) => list.map(({ id, name }) => ({ value: id, label: name }));
  return {
    members: ['house_id', 'section_id', 'name', 'position', 'quarantine', 'water', 'tools'],
    save: (id, body, version) => save('blocks', id, body, version),
    fetch: (id) => fetchOne('blocks', id),
    fields: (draft, change) => {
      const { field, hint } = words.value.setup;
      return (
        <>
          <div class="form-row">
            <TextField label={field.name} pointer="/name" value={draft.name ?? ''} onValue={(name) => change({ name })} maxLength={60} />
            <NumberField
              label={field.position}
              hint={hint.position}
              pointer="/position"
              min={0}
              value={draft.position ?? null}
              onValue={(position) => change({ position })}
            />
          </div>
          <div class="form-row">
            <SelectField
              label={field.house}
              pointer="/house_id"
              value={draft.house_id ?? null}
              onValue={(id) => change({ house_id: id })}
              options={options(houses)}
            />
            <SelectField
              label={field.section}
              pointer="/section_id"
              optional
              empty={words.value.common.none}
              value={draft.section_id ?? null}
              onValue={(id) => change({ section_id: id })}
              options={options(sections)}
            />
          </div>
          <div class="form-row">
            <SharedName
              label={field.water}
              hint={hint.water}
              pointer="/water"
              value={draft.water ?? ''}
              onValue={(water) => change({ water })}
              names={namesInUse(blocks, 'water')}
            />
            <SharedName
              label={field.tools}
              hint={hint.tools}
              pointer="/tools"
              value={draft.tools ?? ''}
              onValue={(tools) => change({ tools })}
              names={namesInUse(blocks, 'tools')}
            />
          </div>
          <CheckField
            label={field.quarantine}
            hint={hint.quarantine}
            checked={draft.quarantine ?? false}
            onChecked={(quarantine) => change({ quarantine })}
          />
        </>
      );
    },
    facts: (draft) => {
      const { field } = words.value.setup;
      const { none, yes, no } = words.value.common;
      return [
        { term: field.name, value: draft.name ?? none },
        { term: field.position, value: typeof draft.position === 'number' ? format.value.count(draft.position) : none },
        { term: field.house, value: named(houses, draft.house_id) },
        { term: field.section, value: named(sections, draft.section_id) },
        { term: field.water, value: draft.water ?? none },
        { term: field.tools, value: draft.tools ?? none },
        { term: field.quarantine, value: draft.quarantine ? yes : no },
      ];
    },
  };
}
