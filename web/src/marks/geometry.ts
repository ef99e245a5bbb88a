import type { TrendPoint } from '../contract.gen';
import { mondayOf } from '../local/zone';

/** Runs of weeks that follow each other without a gap: a line is drawn inside a run only. */
export function runs(weeks: readonly string[], points: readonly TrendPoint[]): TrendPoint[][] {
  const byWeek = new Map(points.map((point) => [point.week, point]));
  const found: TrendPoint[][] = [];
  let open: TrendPoint[] | null = null;
  for (const week of weeks) {
    const point = byWeek.get(week);
    if (!point) {
      open = null;
    } else if (open) {
      open.push(point);
    } else {
      open = [point];
      found.push(open);
    }
  }
  return found;
}

/** Where a date lies on an axis of weeks: 0 is the Wednesday of the first week, 1 of the second; a week's looks stand for it, and forecasts begin there. */
export function weekPosition(weeks: readonly string[], date: string): number {
  const first = weeks[0];
  if (first === undefined) return 0;
  const days = (Date.parse(`${date}T00:00Z`) - Date.parse(`${mondayOf(first)}T00:00Z`)) / 86_400_000;
  return (days - 2) / 7;
}

/**
 * The top of a percent scale that holds every given value: 5, 10, 20, 30, 40, 50, 60, 80 or 100.
 * Give it the values of all charts that are to be compared, so that they share one scale.
 */
export function percentTop(values: Iterable<number>): number {
  let highest = 0;
  for (const value of values) highest = Math.max(highest, value);
  return [5, 10, 20, 30, 40, 50, 60, 80].find((top) => highest <= top) ?? 100;
}

/** Which weeks get a label so that none touch, at `room` pixels a label; the last always does. */
export function labelled(count: number, step: number, room = 34): (i: number) => boolean {
  const every = Math.max(1, Math.ceil(room / Math.max(step, 1)));
  return (i) => (count - 1 - i) % every === 0;
}

/** From an interval of so many percentage points on, as good as nothing is known of a share. */
const unknownFrom = 60;

/** How well a share is known, from 0.05 to 1: 1 when the interval has no width. */
export function knownPart(lower: number, upper: number): number {
  return Math.max(0.05, Math.min(1, 1 - (upper - lower) / unknownFrom));
}
