import type { ForecastPoint, Growth, TrendBy, TrendGroup } from '../contract.gen';
import { weekOf } from '../local/zone';
import { multiplied } from './advice/numbers';
import type { Speech } from './answers';

/** Above this share no doubling is spoken of. */
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

/** In how many weeks, or where weeks would be too coarse in how many days, so many percent double or halve. */
export function doublingTime(times: number, percent: number): { unit: 'week' | 'day'; n: number } {
  const odds = (share: number): number => share / (100 - share);
  const days = (7 * Math.log(odds(times > 1 ? 2 * percent : percent / 2) / odds(percent))) / Math.log(times);
  const weeks = Math.max(1, Math.round(days / 7));
  if (days > 21 || Math.abs(days - 7 * weeks) <= 1.5) return { unit: 'week', n: weeks };
  return { unit: 'day', n: Math.max(1, Math.round(days)) };
}

/** Where none was found in the latest week, the pace is told from so many plants in a hundred. */
const paceFrom = 10;

/** The share of the latest look, or 0. */
function latestPercent(group: TrendGroup): number {
  return (group.answer.point ?? group.points.at(-1))?.infested_percent ?? 0;
}

/** The share that the pace is told from. */
function paceStart(group: TrendGroup): number {
  const percent = latestPercent(group);
  return percent > 0 && percent < 100 ? percent : paceFrom;
}

/** "At this pace 19 % become about 22 % in a week (20–25)."; empty when no growth is known. */
export function paceText(group: TrendGroup, { words, format }: Speech): string {
  const rate = rateOf(group.growth);
  if (!rate) return '';
  const from = paceStart(group);
  const [next, low, high] = [rate.times, rate.lower, rate.upper].map((odds) => multiplied(from, odds)) as [number, number, number];
  return words.trends.growth.pace(format.percent(from), format.percent(next), format.bounds(next, low, high));
}

/** Up to so much more a change is told as a part of what there was; beyond, as so many times as much. */
const mostInParts = 0.87;

/** Up to which change, as a part of what there was, each word is the nearest. */
const parts = [
  [0.05, 'little'],
  [0.15, 'tenth'],
  [0.225, 'fifth'],
  [0.29, 'quarter'],
  [0.41, 'third'],
  [0.58, 'half'],
  [0.7, 'two_thirds'],
  [mostInParts, 'three_quarters'],
] as const;

/** "it goes up by about a quarter a week". */
export function changeText(from: number, next: number, { words, format }: Speech): string {
  const say = words.trends.growth;
  const change = next / from - 1;
  const part = parts.find(([most]) => Math.abs(change) < most)?.[1];
  if (part === undefined && change > 0) return say.times(format.number(next / from));
  return (change < 0 ? say.down : say.up)(say.part[part ?? 'most']);
}

/** Whether it grows, as a sentence; empty when the answer holds no growth, or none was ever found. Figures are marked. */
export function growthAnswer(group: TrendGroup, speech: Speech): string {
  const rate = rateOf(group.growth);
  if (!rate || group.points.every((point) => point.infested_plants === 0)) return '';
  const say = speech.words.trends.growth;
  const course = courseOf(rate);
  if (course === 'growing' && group.points.at(-1)?.infested_plants === 0) return say.noneNow;
  if (course === 'steady' || course === 'unclear') return say[course]();
  const from = paceStart(group);
  const next = multiplied(from, rate.times);
  const pace = changeText(from, next, speech);
  if (from > doublesUpTo || next / from - 1 >= mostInParts) return say[course](pace, '');
  const { unit, n } = doublingTime(rate.times, from);
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

/** How likely a chance in percent is, in a word. */
export function likelihood(percent: number): 'hardly' | 'unlikely' | 'even' | 'likely' | 'almost' {
  if (percent < 1) return 'hardly';
  if (percent > 99) return 'almost';
  return percent < 35 ? 'unlikely' : percent < 65 ? 'even' : 'likely';
}

/** How likely it is to be over a limit then: "it is unlikely (about 9 in 100) that it is over 20 % then". */
export function overText(limit: string, percent: number, speech: Speech): string {
  return speech.words.trends.forecast.over[likelihood(percent)](limit, chanceText(percent, speech));
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
  const chance = limit && typeof over === 'number' ? overText(say.limit(format.percent(limit.percent)), over, speech) : '';
  return say.on(format.date(at.on), limit?.from_on === at.on, format.percent(at.percent), bounds, chance);
}

/** Growth and forecast together, and an honest word where the data are too thin for them. */
export function aheadAnswer(group: TrendGroup, by: TrendBy, speech: Speech): string {
  const { growth, forecast } = group;
  const { cannotSay } = speech.words.trends;
  const sentences = [growthAnswer(group, speech), forecastAnswer(group, speech)].filter((sentence) => sentence !== '');
  const thin = forecast?.code === 'cannot_say' ? forecast : growth?.code === 'cannot_say' ? growth : undefined;
  if (thin && thin.plants_looked_at > 0) {
    const looked = cannotSay.looked(thin.plants_looked_at, thin.weeks, by === 'lot');
    sentences.push(forecast?.code === 'cannot_say' || !forecast ? cannotSay.whither(looked) : cannotSay.growth(looked));
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
