/**
 * How many plants to look at, worked out on the phone by the rules of the server
 * (`domain/stats/detect.go`): the exact chance that a random sample without replacement shows
 * none of the infested plants. ISPM 31 (FAO/IPPC, 2008), appendix 2.
 */

/** How far a chance may stand above its limit, relatively, and still count as equal to it. */
const tieSlack = 1e-12;

/** The infested plants of a lot at a level, rounded down; a level in decimals is seldom exact. */
export function unitsAt(lot: number, level: number): number {
  const product = lot * level;
  const whole = Math.round(product);
  return Math.abs(product - whole) <= 1e-14 * whole ? whole : Math.floor(product);
}

/** The logarithm of the product of (from - j) / (of - j) for j below `factors`. */
function logFalling(from: number, of: number, factors: number): number {
  let sum = 0;
  for (let j = 0; j < factors; j++) sum += Math.log1p((from - of) / (of - j));
  return sum;
}

/** The logarithm of the chance that the fewest possible infested plants are drawn. */
function logFewest(lot: number, infested: number, examined: number, fewest: number): number {
  if (fewest > 0) return logFalling(infested, lot, lot - examined);
  return infested < examined ? logFalling(lot - examined, lot, infested) : logFalling(lot - infested, lot, examined);
}

/** The logarithm of the chance that a sample shows none of the infested plants; one is recognised with the chance `sensitivity`. */
export function logOverlooked(lot: number, infested: number, examined: number, sensitivity: number): number {
  const fewest = Math.max(0, examined - (lot - infested));
  const most = Math.min(infested, examined);
  if (sensitivity >= 1) return fewest > 0 ? -Infinity : logFewest(lot, infested, examined, 0);
  const overlook = Math.log1p(-sensitivity);
  let log = logFewest(lot, infested, examined, fewest) + fewest * overlook;
  let largest = log;
  let sum = 1; // of the chances so far, each divided by exp(largest)
  for (let i = fewest; i < most; i++) {
    log += Math.log(((infested - i) * (examined - i)) / ((i + 1) * (lot - infested - examined + i + 1))) + overlook;
    if (log > largest) {
      sum = sum * Math.exp(largest - log) + 1;
      largest = log;
    } else sum += Math.exp(log - largest);
  }
  return largest + Math.log(sum);
}

/** The fewest plants that show one of the infested with the confidence; null when not even all do. */
function smallestSample(lot: number, infested: number, confidence: number, sensitivity: number): number | null {
  const limit = Math.log1p(-confidence) + tieSlack;
  const meets = (examined: number): boolean => logOverlooked(lot, infested, examined, sensitivity) <= limit;
  if (!meets(lot)) return null;
  // Drawing with replacement overlooks more, so its sample is never too small; one more covers the rounding.
  const bound = Math.ceil(Math.log1p(-confidence) / Math.log1p((-sensitivity * infested) / lot)) + 1;
  let fails = 0;
  let enough = Math.min(bound, lot);
  while (enough - fails > 1) {
    const middle = fails + Math.floor((enough - fails) / 2);
    if (meets(middle)) enough = middle;
    else fails = middle;
  }
  return enough;
}

/** The sample to take, and what it reaches. Shares are from 0 to 1. */
export interface Detection {
  /** Null when no sample of the lot will do. */
  units: number | null;
  infestedUnits: number;
  reason: 'no_infested_unit' | 'sensitivity_too_low' | null;
  method: 'hypergeometric' | 'hypergeometric-sensitivity';
  /** What the sample gives, or what looking at all would. */
  confidenceReached: number;
}

/** The smallest sample that shows an infestation at the level with the confidence. */
export function sampleToDetect(lot: number, level: number, confidence: number, sensitivity: number): Detection {
  const infestedUnits = unitsAt(lot, level);
  const method = sensitivity >= 1 ? 'hypergeometric' : 'hypergeometric-sensitivity';
  if (infestedUnits === 0) return { units: null, infestedUnits, reason: 'no_infested_unit', method, confidenceReached: 0 };
  const units = smallestSample(lot, infestedUnits, confidence, sensitivity);
  const confidenceReached = -Math.expm1(logOverlooked(lot, infestedUnits, units ?? lot, sensitivity));
  return { units, infestedUnits, reason: units === null ? 'sensitivity_too_low' : null, method, confidenceReached };
}

/**
 * After no find, the smallest share of infested plants that the sample makes unlikely; null
 * when it rules out nothing. A sample of n meets D infested plants as D drawn ones would meet
 * n marked ones, so it is found like a sample size.
 */
export function ruledOut(lot: number, examined: number, confidence: number, sensitivity: number): number | null {
  const infested = smallestSample(lot, examined, confidence, sensitivity);
  return infested === null ? null : infested / lot;
}
