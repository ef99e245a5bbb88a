import type { Speech } from './answers';

/** A p-value as it is written: "0.34", "0.034", "< 0.001". */
export function pText(p: number, { format }: Pick<Speech, 'format'>): string {
  return p < 0.001 ? `<\u00a0${format.number(0.001, 3)}` : format.number(p, p < 0.1 ? 3 : 2);
}
