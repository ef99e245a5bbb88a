import type { Evidence } from '../../contract.gen';
import { words } from '../../words';

/** Told apart without colour: an arrow that goes on, an arrow that meets a wall, a ring with a gap. */
const shapes: Record<Evidence['direction'], string> = {
  for_biological: 'M1 7 H12 M8 3 L12 7 L8 11',
  against_biological: 'M1 7 H8 M5 4 L8 7 L5 10 M11.5 1.5 V12.5',
  open: 'M9.5 3 A5 5 0 1 0 11.5 9',
};

/** Which way a line of evidence points, as a shape with its word. */
export function Direction({ of }: { of: Evidence['direction'] }) {
  return (
    <span class="advice-direction">
      <svg viewBox="0 0 14 14" width="14" height="14" aria-hidden="true">
        <path d={shapes[of]} fill="none" stroke="currentColor" stroke-width="2" stroke-linecap="round" stroke-linejoin="round" />
      </svg>
      {words.value.advice.direction[of]}
    </span>
  );
}
