import type { ComponentChildren, InputHTMLAttributes } from 'preact';
import { useId } from 'preact/hooks';

import { words } from '../words';
import { useFault } from './form';

/** What every field takes. */
export interface FieldProps {
  label: string;
  hint?: ComponentChildren;
  /** JSON Pointer of the body member, `/order_lines/0/ordered`: the server's fault appears here. */
  pointer?: string;
  /** A fault found on the page itself; wins over the server's. */
  error?: string;
  optional?: boolean;
  disabled?: boolean;
  class?: string;
}

/** The attributes that tie a control to its label, hint and fault. */
export interface ControlAttributes {
  id: string;
  'aria-describedby': string | undefined;
  'aria-invalid': boolean | undefined;
  'aria-required': boolean | undefined;
  disabled: boolean | undefined;
}

interface FrameProps extends FieldProps {
  children: (attributes: ControlAttributes) => ComponentChildren;
}

/** Label above, hint and fault below: wrap any control of one's own in it. */
export function Field({ label, hint, pointer, error, optional = false, disabled, class: more, children }: FrameProps) {
  const id = useId();
  const served = useFault(pointer);
  const fault = error ?? served;
  const described = [hint !== undefined && `${id}-hint`, fault !== undefined && `${id}-fault`].filter(Boolean).join(' ');
  return (
    <div class={['field', fault !== undefined && 'field-faulty', more].filter(Boolean).join(' ')}>
      <label for={id}>
        {label}
        {optional && <span class="field-optional"> {words.value.common.optional}</span>}
      </label>
      {children({
        id,
        'aria-describedby': described || undefined,
        'aria-invalid': fault !== undefined || undefined,
        'aria-required': !optional || undefined,
        disabled,
      })}
      {hint !== undefined && (
        <p class="field-hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      <p class="field-fault" id={`${id}-fault`} aria-live="polite">
        {fault}
      </p>
    </div>
  );
}

interface TextProps extends FieldProps {
  value: string;
  onValue: (value: string) => void;
  type?: 'text' | 'email' | 'password' | 'search';
  autocomplete?: InputHTMLAttributes['autocomplete'];
  name?: string;
  maxLength?: number;
  placeholder?: string;
  list?: string;
}

export function TextField({ value, onValue, type = 'text', autocomplete, name, maxLength, placeholder, list, ...field }: TextProps) {
  return (
    <Field {...field}>
      {(attributes) => (
        <input
          {...attributes}
          class="input"
          type={type}
          value={value}
          name={name}
          autocomplete={autocomplete}
          maxLength={maxLength}
          placeholder={placeholder}
          list={list}
          onInput={(event) => onValue(event.currentTarget.value)}
        />
      )}
    </Field>
  );
}

interface AreaProps extends FieldProps {
  value: string;
  onValue: (value: string) => void;
  rows?: number;
  maxLength?: number;
}

export function TextArea({ value, onValue, rows = 3, maxLength, ...field }: AreaProps) {
  return (
    <Field {...field}>
      {(attributes) => (
        <textarea
          {...attributes}
          class="input"
          rows={rows}
          value={value}
          maxLength={maxLength}
          onInput={(event) => onValue(event.currentTarget.value)}
        />
      )}
    </Field>
  );
}

interface DateProps extends FieldProps {
  /** `2026-09-14`, or null. */
  value: string | null;
  onValue: (value: string | null) => void;
  min?: string;
  max?: string;
}

export function DateField({ value, onValue, min, max, ...field }: DateProps) {
  return (
    <Field {...field}>
      {(attributes) => (
        <input
          {...attributes}
          class="input input-short"
          type="date"
          value={value ?? ''}
          min={min}
          max={max}
          onInput={(event) => onValue(event.currentTarget.value || null)}
        />
      )}
    </Field>
  );
}

interface CheckProps {
  label: ComponentChildren;
  hint?: string;
  checked: boolean;
  onChecked: (checked: boolean) => void;
  disabled?: boolean;
}

export function CheckField({ label, hint, checked, onChecked, disabled }: CheckProps) {
  const id = useId();
  return (
    <div class="check">
      <label>
        <input
          type="checkbox"
          checked={checked}
          disabled={disabled}
          aria-describedby={hint !== undefined ? `${id}-hint` : undefined}
          onChange={(event) => onChecked(event.currentTarget.checked)}
        />
        <span>{label}</span>
      </label>
      {hint !== undefined && (
        <p class="field-hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
    </div>
  );
}
