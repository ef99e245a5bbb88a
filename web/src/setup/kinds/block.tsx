import { fetchOne, save } from '../../api';
import type { Block, BlockBody, House, Section } from '../../contract.gen';
import { NumberField, SelectField, TextField } from '../../parts';
import { format, words } from '../../words';
import type { Kind } from '../record/kind';

/** Blocks of a site with these houses and sections. */
export function block(houses: readonly House[], sections: readonly Section[]): Kind<BlockBody, Block> {
  const named = (list: readonly { id: string; name: string }[], id: string | null | undefined): string =>
    list.find((one) => one.id === id)?.name ?? words.value.common.none;
  const options = (list: readonly { id: string; name: string }[]) => list.map(({ id, name }) => ({ value: id, label: name }));
  return {
    members: ['house_id', 'section_id', 'name', 'position'],
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
        </>
      );
    },
    facts: (draft) => {
      const { field } = words.value.setup;
      const { none } = words.value.common;
      return [
        { term: field.name, value: draft.name ?? none },
        { term: field.position, value: typeof draft.position === 'number' ? format.value.count(draft.position) : none },
        { term: field.house, value: named(houses, draft.house_id) },
        { term: field.section, value: named(sections, draft.section_id) },
      ];
    },
  };
}
