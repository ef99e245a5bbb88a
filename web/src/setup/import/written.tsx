import type { ImportReading } from '../../contract.gen';
import { Details, SelectField } from '../../parts';
import { words } from '../../words';
import type { Choices } from './choices';

interface Props {
  reading: ImportReading;
  choices: Choices;
  change: (part: Partial<Choices>) => void;
}

interface OneProps<T extends string> {
  label: string;
  options: Record<T, string>;
  said: T | undefined;
  found: string | undefined;
  onSaid: (value: T) => void;
}

/** One thing that was found out, and may be said otherwise. */
function One<T extends string>({ label, options, said, found, onSaid }: OneProps<T>) {
  const { imports } = words.value;
  const all = Object.keys(options).filter((key): key is T => Object.hasOwn(options, key));
  const value = said ?? all.find((key) => key === found) ?? null;
  return (
    <SelectField
      label={label}
      value={value}
      hint={said === undefined && value !== null ? imports.foundOut : undefined}
      onValue={(chosen) => chosen !== null && onSaid(chosen)}
      options={all.map((key) => ({ value: key, label: options[key] }))}
    />
  );
}

/** Letters, separators, decimals and dates: how the file says what it says. */
export function Written({ reading, choices, change }: Props) {
  const { imports } = words.value;
  const unclear = reading.faults.some(({ code }) => code === 'date_order_unclear' || code === 'not_utf8');
  return (
    <Details summary={imports.written} open={unclear}>
      <div class="import-fields">
        <One label={imports.dates} options={imports.dateOrders} said={choices.dates} found={reading.dates} onSaid={(dates) => change({ dates })} />
        <One label={imports.decimal} options={imports.decimals} said={choices.decimal} found={reading.decimal} onSaid={(decimal) => change({ decimal })} />
        <One
          label={imports.separator}
          options={imports.separators}
          said={choices.separator}
          found={reading.separator}
          onSaid={(separator) => change({ columns: undefined, separator })} // the columns are others then
        />
        <One label={imports.encoding} options={imports.encodings} said={choices.encoding} found={reading.encoding} onSaid={(encoding) => change({ encoding })} />
      </div>
    </Details>
  );
}
