import { words } from '../words';

/** Something is being fetched. Appears only after a moment, so that quick answers do not flicker. */
export function Busy({ label }: { label?: string }) {
  return (
    <p class="busy" role="status">
      {label ?? words.value.common.loading}
    </p>
  );
}

/** How much of something countable is done. */
export function Progress({ label, value, max }: { label: string; value: number; max: number }) {
  return (
    <label class="progress">
      <span>{label}</span>
      <progress value={value} max={max} />
    </label>
  );
}
