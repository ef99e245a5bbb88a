import { words } from '../words';
import type { Draft } from './draft';

/** Between two taps further apart than this, in milliseconds, nobody looked at plants. */
const pause = 90_000;

/**
 * The draft after a tap, with the time since the tap before it. Pauses are left out, and so is
 * the time it takes to correct a stored look, which is not spent in the block.
 */
export function withTime(draft: Draft, before: number, now: number): Draft {
  const gap = now - before;
  if (draft.version !== null || gap <= 0 || gap > pause) return draft;
  return { ...draft, spent_ms: draft.spent_ms + gap };
}

/** Whole seconds, as they are stored; 0 for a new tally, which is counted in the head between taps. */
export function secondsOf({ way, version, spent_ms }: Pick<Draft, 'way' | 'version' | 'spent_ms'>): number {
  return way === 'plants' || version !== null ? Math.min(86_400, Math.floor(spent_ms / 1000)) : 0;
}

/** "about 6 min, pauses left out"; undefined where it was not measured. */
export function spentText(seconds: number | null | undefined): string | undefined {
  if (!seconds) return undefined;
  const { look } = words.value.walk;
  const minutes = Math.round(seconds / 60);
  return minutes === 0 ? look.spentLittle : look.spentAbout(minutes);
}
