import { parseNumber } from '../parts/number-field';

/** The most minutes that a plan can be asked for. */
const most = 6000;

/** What was typed as minutes: so many, null for as many as the rules need, or why it is neither. */
export type MinutesRead = { minutes: number | null; fault?: never } | { fault: 'type' | 'too_small' | 'too_large' };

/** Reads minutes as people type them. */
export function readMinutes(text: string): MinutesRead {
  const minutes = parseNumber(text, 1);
  if (minutes === undefined) return { fault: 'type' };
  if (minutes !== null && minutes <= 0) return { fault: 'too_small' };
  if (minutes !== null && minutes > most) return { fault: 'too_large' };
  return { minutes };
}

/**
 * Whether planning again is offered: when the plan is not for the minutes given. Whoever
 * pressed the button keeps it under the finger, off, until the focus goes elsewhere.
 */
export function againOffered({ waits, busy, focused }: { waits: boolean; busy: boolean; focused: boolean }): 'no' | 'off' | 'on' {
  if (waits && !busy) return 'on';
  return focused ? 'off' : 'no';
}
