import { useId } from 'preact/hooks';

import { words } from '../words';
import { Field, type FieldProps } from './field';
import { useFault } from './form';

export interface Option<T extends string = string> {
  value: T;
  label: string;
  hint?: string;
  disabled?: boolean;
}

interface SelectProps<T extends string> extends FieldProps {
  value: T | null;
  onValue: (value: T | null) => void;
  options: readonly Option<T>[];
  /** The empty choice; "Choose …" when left out. */
  empty?: string;
}

/** One of many, from a list. */
export function SelectField<T extends string>({ value, onValue, options, empty, ...field }: SelectProps<T>) {
  return (
    <Field {...field}>
      {(attributes) => (
        <select
          {...attributes}
          class="input"
          value={value ?? ''}
          onChange={(event) => onValue(options.find((option) => option.value === event.currentTarget.value)?.value ?? null)}
        >
          <option value="" disabled={!field.optional && value !== null}>
            {empty ?? words.value.common.choose}
          </option>
          {options.map((option) => (
            <option key={option.value} value={option.value} disabled={option.disabled}>
              {option.label}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}

interface ChoiceProps<T extends string> {
  label: string;
  value: T | null;
  onValue: (value: T) => void;
  options: readonly Option<T>[];
  hint?: string;
  pointer?: string;
  error?: string;
  disabled?: boolean;
  /** The label is only read aloud, not shown. */
  quietLabel?: boolean;
}

/** One of a few, all in sight, each a tap of 48 px. */
export function ChoiceField<T extends string>({
  label,
  value,
  onValue,
  options,
  hint,
  pointer,
  error,
  disabled,
  quietLabel = false,
}: ChoiceProps<T>) {
  const id = useId();
  const served = useFault(pointer);
  const fault = error ?? served;
  return (
    <fieldset class="choice" disabled={disabled} aria-describedby={fault !== undefined ? `${id}-fault` : undefined}>
      <legend class={quietLabel ? 'aside-only' : undefined}>{label}</legend>
      <div class="choice-row">
        {options.map((option) => (
          <label key={option.value} class="choice-option">
            <input
              type="radio"
              name={id}
              value={option.value}
              checked={value === option.value}
              disabled={option.disabled}
              onChange={() => onValue(option.value)}
            />
            <span>
              {option.label}
              {option.hint !== undefined && <small>{option.hint}</small>}
            </span>
          </label>
        ))}
      </div>
      {hint !== undefined && <p class="field-hint">{hint}</p>}
      <p class="field-fault" id={`${id}-fault`} aria-live="polite">
        {fault}
      </p>
    </fieldset>
  );
}
