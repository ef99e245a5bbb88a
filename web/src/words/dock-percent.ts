import type { Format } from './format';

/** "14.5 %" from 14.43: an upper limit, rounded up to a tenth so that it never promises more than the sample does. */
export function upperPercent(f: Format, percent: number): string {
  return `${f.number(Math.ceil(percent * 10 - 1e-9) / 10, 1)}\u00a0%`;
}
