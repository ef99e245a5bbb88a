import type { Share } from '../words';

/** The standard normal quantile of 0.975, for two-sided 95 %. */
const usualZ = 1.959963984540054;

/** The chance that a standard normal value is between 0 and z (Marsaglia G, 2004, Journal of Statistical Software 11(4)). */
function within(z: number): number {
  let sum = z;
  let term = z;
  for (let i = 3; sum + term !== sum; i += 2) {
    term *= (z * z) / i;
    sum += term;
  }
  return (sum * Math.exp(-z * z / 2)) / Math.sqrt(2 * Math.PI);
}

/** The standard normal quantile that leaves the confidence between it and its negative. */
function zOf(confidencePercent: number): number {
  if (confidencePercent === 95) return usualZ;
  let [low, high] = [0, 6];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (2 * within(middle) < confidencePercent / 100) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * The Wilson score interval for a share, two-sided, in percent (0 to 100); the confidence is
 * at most 99.9999 %. Wilson EB (1927), Journal of the American Statistical Association
 * 22:209-212. Nothing looked at rules nothing out: 0 to 100.
 */
export function wilson(infested: number, lookedAt: number, confidencePercent = 95): { lower: number; upper: number } {
  if (lookedAt <= 0) return { lower: 0, upper: 100 };
  const z = zOf(confidencePercent);
  const share = infested / lookedAt;
  const spread = (z * z) / lookedAt;
  const centre = share + spread / 2;
  const reach = z * Math.sqrt((share * (1 - share)) / lookedAt + spread / (4 * lookedAt));
  return {
    lower: infested === 0 ? 0 : (100 * (centre - reach)) / (1 + spread),
    upper: infested === lookedAt ? 100 : (100 * (centre + reach)) / (1 + spread),
  };
}

/** Two counts as a share with its interval, as the server's readings carry it. */
export function shareOf(infested: number, lookedAt: number): Share {
  const { lower, upper } = wilson(infested, lookedAt);
  return {
    plants_looked_at: lookedAt,
    infested_plants: infested,
    infested_percent: lookedAt > 0 ? (100 * infested) / lookedAt : 0,
    lower_percent: lower,
    upper_percent: upper,
  };
}
