import { useId } from 'preact/hooks';

import type { Block } from '../contract.gen';
import { TextField, type FieldProps } from '../parts';

/** The names under which these blocks share water or tools, each once. */
export function namesInUse(blocks: readonly Block[], of: 'water' | 'tools'): string[] {
  const names = blocks.flatMap((block) => block[of] ?? []);
  return [...new Set(names)].toSorted((a, b) => a.localeCompare(b, undefined, { numeric: true }));
}

interface Props extends FieldProps {
  value: string;
  onValue: (name: string) => void;
  names: readonly string[];
}

/** A name that blocks share, with those in use to choose from: one letter off would be another tank. */
export function SharedName({ names, ...field }: Props) {
  const id = useId();
  return (
    <div>
      <TextField {...field} optional maxLength={60} autocomplete="off" list={id} />
      <datalist id={id}>
        {names.map((name) => (
          <option key={name} value={name} />
        ))}
      </datalist>
    </div>
  );
}
