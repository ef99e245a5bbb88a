import type { ForecastPoint, Growth, TrendGroup } from '../contract.gen';
import { weekOf } from '../local/zone';
import { multiplied } from './advice/numbers';
import type { Speech } from './answers';

/** Above this share a doubling of the odds is no longer nearly a doubling of the plants, and is not called one. */
const doublesUpTo = 30;

/** Where neither is sure, a growth of less than a tenth a week either way is called hardly a change. */
const steady = { lower: 0.9, upper: 1.1 };

type Course = 'growing' | 'shrinking' | 'steady' | 'unclear';

interface Rate {
  times: number;
  lower: number;
  upper: number;
}

/** The growth as three numbers, or null when it is not known. */
function rateOf(growth: Growth | undefined): Rate | null {
  if (growth?.code !== 'known') return null;
  const { odds_ratio: times, lower, upper } = growth;
  return typeof times === 'number' && typeof lower === 'number' && typeof upper === 'number' && times > 0 ? { times, lower, upper } : null;
}

/** Which way it goes, as far as the interval lets one say. */
export function courseOf({ lower, upper }: Rate): Course {
  if (lower > 1) return 'growing';
  if (upper < 1) return 'shrinking';
  return lower >= steady.lower && upper <= steady.upper ? 'steady' : 'unclear';
}

/** In how many weeks, or where weeks would be too coarse in how many days, it doubles or halves. */
export function doublingTime(times: number): { unit: 'week' | 'day'; n: number } {
  const days = (7 * Math.LN2) / Math.abs(Math.log(times));
  const weeks = Math.max(1, Math.round(days / 7));
  if (days > 21 || Math.abs(days - 7 * weeks) <= 1.5) return { unit: 'week', n: weeks };
  return { unit: 'day', n: Math.max(1, Math.round(days)) };
}

/** Where none was found in the latest week, the pace is told from so many plants in a hundred. */
const paceFrom = 10;

/** "at this pace 19 % become about 22 % in a week (20–25)". */
function paceText({ times, lower, upper }: Rate, percent: number, { words, format }: Speech): string {
  const from = percent > 0 && percent < 100 ? percent : paceFrom;
  const [next, low, high] = [times, lower, upper].map((odds) => multiplied(from, odds)) as [number, number, number];
  return words.trends.growth.pace(format.percent(from), format.percent(next), format.bounds(next, low, high));
}

/** The share of the latest look, or 0. */
function latestPercent(group: TrendGroup): number {
  return (group.answer.point ?? group.points.at(-1))?.infested_percent ?? 0;
}

/** Whether it grows, as a sentence; empty when the answer holds no growth, or none was ever found. Figures are marked. */
export function growthAnswer(group: TrendGroup, speech: Speech): string {
  const rate = rateOf(group.growth);
  if (!rate || group.points.every((point) => point.infested_plants === 0)) return '';
  const say = speech.words.trends.growth;
  const course = courseOf(rate);
  if (course === 'growing' && group.points.at(-1)?.infested_plants === 0) return say.noneNow;
  const pace = paceText(rate, latestPercent(group), speech);
  if (course === 'steady' || course === 'unclear' || latestPercent(group) > doublesUpTo) return say[course](pace, '');
  const { unit, n } = doublingTime(rate.times);
  const time = (unit === 'week' ? say.weeks : say.days)(n);
  return say[course](pace, (course === 'growing' ? say.doubling : say.halving)(time));
}

/** A chance in percent as people count: "about 9 in 10", "about 4 in 100", "less than 1 in 100". */
export function chanceText(percent: number, { words }: Speech): string {
  const say = words.trends.forecast;
  if (percent < 1) return say.hardly;
  if (percent > 99) return say.almost;
  const tenths = Math.round(percent / 10);
  return percent >= 9.5 && percent <= 90.5 ? say.about(tenths, 10) : say.about(Math.round(percent), 100);
}

/** The day the forecast is for; undefined when there is no forecast. */
function lastAhead(group: TrendGroup): ForecastPoint | undefined {
  return pointsAhead(group).at(-1);
}

/** Where it goes, as a sentence; empty when the answer holds no forecast. Figures are marked. */
export function forecastAnswer(group: TrendGroup, speech: Speech): string {
  const at = lastAhead(group);
  if (!at) return '';
  const { words, format } = speech;
  const say = words.trends.forecast;
  const bounds = format.bounds(at.percent, at.lower_90_percent, at.upper_90_percent);
  const { limit, over_limit_percent: over } = group.forecast ?? {};
  const chance = limit && typeof over === 'number' ? say.chance(format.percent(limit.percent), chanceText(over, speech)) : '';
  return say.on(format.date(at.on), limit?.from_on === at.on, format.percent(at.percent), bounds, chance);
}

/** Growth and forecast together, and an honest word where the data are too thin for them. */
export function aheadAnswer(group: TrendGroup, speech: Speech): string {
  const { growth, forecast } = group;
  const { cannotSay } = speech.words.trends;
  const sentences = [growthAnswer(group, speech), forecastAnswer(group, speech)].filter((sentence) => sentence !== '');
  const thin = forecast?.code === 'cannot_say' ? forecast : growth?.code === 'cannot_say' ? growth : undefined;
  if (thin && thin.plants_looked_at > 0) {
    const on = speech.format.list([cannotSay.weeks(thin.weeks), speech.words.common.plants(thin.plants_looked_at)]);
    sentences.push(forecast?.code === 'cannot_say' || !forecast ? cannotSay.whither(on) : cannotSay.growth(on));
  }
  return sentences.join(' ');
}

/** The points of a forecast that is known. The first may be the week of the latest look, where it starts. */
export function pointsAhead({ forecast }: Pick<TrendGroup, 'forecast'>): ForecastPoint[] {
  return forecast?.code === 'known' ? (forecast.points ?? []) : [];
}

/** The points of the forecast in weeks after the latest look. */
export function weeksAhead(group: Pick<TrendGroup, 'forecast' | 'points'>): ForecastPoint[] {
  const latest = group.points.at(-1)?.week ?? '';
  return pointsAhead(group).filter(({ on }) => weekOf(on) > latest);
}

/** What growth and forecast of a page are about, since the sheets below speak of others. */
export function aheadLabel(by: TrendGroup['key'], houses: number, { words }: Speech): string {
  const say = words.trends.about;
  if (by === 'lot') return say.lot(houses);
  return by === 'cultivar' ? say.cultivar : by === 'house' ? say.house : '';
}
