import { Field } from '../../../parts';
import { words } from '../../../words';
import type { Places } from '../places';

interface Props {
  label: string;
  places: Places;
  value: string | null;
  onValue: (block: string | null) => void;
  pointer: string;
  /** The block the plants come from: its house stands first. */
  near: string | null;
  /** What no block means; without it a block must be chosen. */
  none?: string;
  hint?: string;
}

/** A block in one list, by its house: one choice, where two lists would be two. */
export function BlockSelect({ label, places, value, onValue, pointer, near, none, hint }: Props) {
  const { common, dock } = words.value;
  if (places.blocks.length === 0) return <p class="quiet">{dock.lot.noBlocks}</p>;
  const here = places.blocks.find(({ id }) => id === near)?.house_id;
  const houses = places.houses.toSorted((a, b) => Number(b.id === here) - Number(a.id === here));
  return (
    <Field label={label} pointer={pointer} hint={hint} optional={none !== undefined}>
      {(attributes) => (
        <select {...attributes} class="input" value={value ?? ''} onChange={(event) => onValue(event.currentTarget.value === '' ? null : event.currentTarget.value)}>
          <option value="" disabled={none === undefined && value !== null}>
            {none ?? common.choose}
          </option>
          {houses.map((house) => (
            <optgroup key={house.id} label={house.name}>
              {places.blocks
                .filter((block) => block.house_id === house.id)
                .map((block) => (
                  <option key={block.id} value={block.id}>
                    {`${house.name}, ${block.name}`}
                  </option>
                ))}
            </optgroup>
          ))}
        </select>
      )}
    </Field>
  );
}
