import { useState } from 'preact/hooks';

import { SelectField } from '../../parts';
import { words } from '../../words';
import type { Places } from './places';

interface Props {
  label: string;
  places: Places;
  value: string | null;
  onValue: (block: string | null) => void;
  pointer?: string;
  hint?: string;
  optional?: boolean;
}

/** A block, by its house: two short lists instead of one of hundreds. */
export function BlockField({ label, places, value, onValue, pointer, hint, optional = false }: Props) {
  const said = words.value.dock.lot;
  const { common } = words.value;
  const ofValue = places.blocks.find((block) => block.id === value)?.house_id;
  const [house, setHouse] = useState<string | null>(ofValue ?? (places.houses.length === 1 ? (places.houses[0]?.id ?? null) : null));
  if (places.blocks.length === 0) return <p class="quiet">{said.noBlocks}</p>;
  return (
    <>
      <SelectField
        label={said.house}
        optional={optional}
        {...(optional && { empty: common.none })}
        value={house}
        onValue={(next) => {
          setHouse(next);
          onValue(null);
        }}
        options={places.houses.map(({ id, name }) => ({ value: id, label: name }))}
      />
      <SelectField
        label={label}
        optional={optional}
        pointer={pointer}
        hint={hint}
        disabled={house === null}
        value={value}
        onValue={onValue}
        options={places.blocks.filter((block) => block.house_id === house).map(({ id, name }) => ({ value: id, label: name }))}
      />
    </>
  );
}
