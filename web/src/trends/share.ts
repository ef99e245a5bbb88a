import type { TrendPoint } from '../contract.gen';
import type { Format } from '../words';
import type { Speech } from './answers';

type Bounded = Pick<TrendPoint, 'infested_percent' | 'lower_percent' | 'upper_percent'>;

/** Whether rounding would land a percentage on a limit that it is not on. */
function landsOn(percent: number, limit: number | undefined): boolean {
  return limit !== undefined && percent !== limit && Math.round(percent) === limit;
}

/** A percentage, with a decimal where it would else read as the limit. */
export function besideLimit(percent: number, limit: number | undefined, format: Format): string {
  return landsOn(percent, limit) ? `${format.number(percent)}\u00a0%` : format.percent(percent);
}

/** "12–32"; "11.8–20.4" where a bound would else read as the limit. */
export function boundsText({ infested_percent: percent, lower_percent: lower, upper_percent: upper }: Bounded, limit: number | undefined, format: Format): string {
  const near = landsOn(lower, limit) || landsOn(upper, limit);
  return near ? `${format.number(lower)}–${format.number(upper)}` : format.bounds(percent, lower, upper);
}

/** "20 % (12–32)", saying so where it is weighted: the share is then not one count over the other. */
export function weightedShare(point: Bounded & Pick<TrendPoint, 'weighted'>, { words, format }: Speech, limit?: number): string {
  const share = `${format.percent(point.infested_percent)} (${boundsText(point, limit, format)})`;
  return point.weighted ? `${share}, ${words.trends.weighted}` : share;
}
