import type { Share } from '../words';

/** The standard normal quantile of 0.975, for two-sided 95 %. */
const z = 1.959963984540054;

/**
 * The Wilson score interval for a share, two-sided, 95 %, in percent (0 to 100).
 * Wilson EB (1927), Journal of the American Statistical Association 22:209-212.
 * Nothing looked at rules nothing out: 0 to 100.
 */
export function wilson(infested: number, lookedAt: number): { lower: number; upper: number } {
  if (lookedAt <= 0) return { lower: 0, upper: 100 };
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
