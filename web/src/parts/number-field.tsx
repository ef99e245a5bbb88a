import { useEffect, useState } from 'preact/hooks';

import { words } from '../words';
import { Field, type FieldProps } from './field';

interface NumberProps extends FieldProps {
  value: number | null;
  /** Null when the field is empty; NaN is never given. */
  onValue: (value: number | null) => void;
  min?: number;
  max?: number;
  /** Digits after the point; 0 (a count) when left out. */
  decimals?: number;
  unit?: string;
  /** Shows − and + beside the field: for counts made with wet fingers. */
  steps?: boolean;
}

/** Reads what people type: spaces group, a comma may be the decimal point. Undefined when it is no number. */
export function parseNumber(text: string, decimals: number): number | null | undefined {
  const plain = text.replace(/[\s\u00a0\u202f']/g, '').replace(',', '.');
  if (plain === '') return null;
  if (!/^[-+\u2212]?\d*\.?\d*$/.test(plain) || !/\d/.test(plain)) return undefined;
  const value = Number(plain.replace('\u2212', '-'));
  return decimals === 0 && !Number.isInteger(value) ? undefined : value;
}

export function NumberField({ value, onValue, min, max, decimals = 0, unit, steps = false, ...field }: NumberProps) {
  const [text, setText] = useState(value === null ? '' : String(value));
  const read = parseNumber(text, decimals);
  useEffect(() => {
    if (parseNumber(text, decimals) !== value) setText(value === null ? '' : String(value));
    // only when the value is set from outside: while one types, the text leads
  }, [value]);
  const step = (by: number): void => {
    const next = (value ?? 0) + by;
    if ((min !== undefined && next < min) || (max !== undefined && next > max)) return;
    setText(String(next));
    onValue(next);
  };
  const { common, problems } = words.value;
  const wrong = read === undefined ? problems.fields.type : undefined;
  return (
    <Field {...field} error={field.error ?? wrong}>
      {(attributes) => (
        <div class="number">
          {steps && (
            <button
              type="button"
              class="step"
              aria-label={`${field.label}: ${common.less}`}
              disabled={field.disabled || (min !== undefined && (value ?? 0) <= min)}
              onClick={() => step(-1)}
            >
              −
            </button>
          )}
          <input
            {...attributes}
            class="input input-number"
            type="text"
            inputMode={decimals > 0 ? 'decimal' : 'numeric'}
            autocomplete="off"
            value={text}
            onInput={(event) => {
              setText(event.currentTarget.value);
              const next = parseNumber(event.currentTarget.value, decimals);
              if (next !== undefined) onValue(next);
            }}
          />
          {steps && (
            <button
              type="button"
              class="step"
              aria-label={`${field.label}: ${common.oneMore}`}
              disabled={field.disabled || (max !== undefined && (value ?? 0) >= max)}
              onClick={() => step(1)}
            >
              +
            </button>
          )}
          {unit !== undefined && <span class="unit">{unit}</span>}
        </div>
      )}
    </Field>
  );
}
