import type { TrailBalance, TrailLot } from '../contract.gen';

/** The terms of a balance: received = on hand + dispatched + discarded + lost − gained. */
export const terms = ['received', 'on_hand', 'dispatched', 'discarded', 'lost', 'gained'] as const;
export type Term = (typeof terms)[number];

interface Fraction {
  over: bigint;
  under: bigint;
}

/** "37/3" or "12" as a fraction; null when it is neither. */
function fractionOf(text: string): Fraction | null {
  const found = /^(-?\d+)(?:\/(\d+))?$/.exec(text);
  if (!found) return null;
  const under = BigInt(found[2] ?? '1');
  return under === 0n ? null : { over: BigInt(found[1] ?? '0'), under };
}

/** Whether a balance adds up, worked out with the exact fractions. */
export function addsUp({ exact }: Pick<TrailBalance, 'exact'>): boolean {
  let sum: Fraction = { over: 0n, under: 1n };
  for (const term of terms) {
    const part = fractionOf(exact[term]);
    if (!part) return false;
    const sign = term === 'received' || term === 'gained' ? -1n : 1n;
    sum = { over: sum.over * part.under + sign * part.over * sum.under, under: sum.under * part.under };
  }
  return sum.over === 0n;
}

/** Whether some of a lot's plants came from elsewhere. */
export function isMixed({ percent }: Pick<TrailLot, 'percent'>): boolean {
  return percent !== undefined && percent < 100;
}
