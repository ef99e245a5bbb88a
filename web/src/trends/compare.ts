import { sum } from 'd3-array';

import type { ComparedGroup, Comparison, FoliageContrast, TrendGroup, Trends } from '../contract.gen';
import { percentTop } from '../marks';
import { groupName, type Speech } from './answers';
import { isNamed } from './order';
import { pText } from './p-value';
import { mostOf } from './scale';

/** A group of the comparison with its name. */
export interface Held extends ComparedGroup {
  name: string;
  /** The group of the page behind it, to open it; undefined when the page has none of that key. */
  group: TrendGroup | undefined;
}

/** Below this the groups are said to differ by more than chance. */
const hardlyChance = 0.05;

/** How many names a sentence lists before it counts the rest. */
const namesInSentence = 4;

/** The groups of the comparison with their names, by rank. */
export function heldGroups({ comparison, groups, by }: Trends, speech: Speech): Held[] {
  const byKey = new Map(groups.map((group) => [group.key, group]));
  return (comparison?.groups ?? [])
    .map((one) => {
      const group = byKey.get(one.key);
      return { ...one, group, name: groupName(group ?? { key: one.key, label: one.key }, by, speech) };
    })
    .toSorted((a, b) => a.rank - b.rank);
}

/** Where a share lies against its funnel limits. */
export function placeOf({ infested_percent: share, funnel_lower_percent: lower, funnel_upper_percent: upper }: ComparedGroup): 'over' | 'under' | 'inside' {
  if (share > upper) return 'over';
  return share < lower ? 'under' : 'inside';
}

function weeksText({ from_week: from, to_week: to }: Comparison, { words, format }: Speech): string {
  return words.trends.held.weeks(format.week(from), format.week(to));
}

/** The first few names, and how many more there are. */
export function someNames(names: readonly string[], { words, format }: Speech, most = namesInSentence): string {
  const rest = names.length - most;
  // a single one is named rather than counted
  return format.list(rest > 1 ? [...names.slice(0, most), words.trends.held.andMore(rest)] : names);
}

/** "5 suppliers and one not known by name" */
export function groupsText(held: readonly Held[], by: Trends['by'], { words }: Speech): string {
  const named = held.filter(isNamed).length;
  const text = words.trends.groups[by](named);
  return named === held.length ? text : words.trends.held.withUnknown(text, held.length - named);
}

/** What sets a group apart from the others, and that it is below its limit all the same. */
export function differsText({ differs, group }: Held, { words, format }: Speech): string {
  const say = words.trends.held;
  const { code, limit } = group?.answer ?? {};
  return differs === 'higher' && code === 'below' && limit ? say.yetBelow(format.percent(limit.percent)) : say.differs[differs];
}

/** Which groups stand out from the others, as sentences. Figures are marked. */
export function comparisonAnswer(comparison: Comparison, held: readonly Held[], by: Trends['by'], speech: Speech): string {
  const say = speech.words.trends.held;
  const weeks = weeksText(comparison, speech);
  if (comparison.code === 'cannot_say' || held.length === 0) return say.cannotSay(weeks);
  const named = (way: Held['differs']): string[] => held.filter(({ differs }) => differs === way).map(({ name }) => name);
  const [higher, lower] = [named('higher'), named('lower').toReversed()];
  const groups = groupsText(held, by, speech);
  const { homogeneity_p: p, false_discovery_percent: discovery = 0 } = comparison;
  return [
    say.summary(weeks, groups, higher.length, lower.length, held.length),
    ...(higher.length > 0 ? [say.more(someNames(higher, speech))] : []),
    ...(lower.length > 0 ? [say.less(someNames(lower, speech))] : []),
    ...(typeof p === 'number' ? [p < hardlyChance ? say.notChance : say.chance] : []),
    ...(discovery > 0 && higher.length + lower.length > 0 ? [say.discovery(Math.round(((higher.length + lower.length) * discovery) / 100))] : []),
  ].join(' ');
}

/** Dark against light foliage, as a sentence. Figures are marked. */
export function foliageAnswer(contrast: FoliageContrast, { words, format }: Speech): string {
  const { held } = words.trends;
  const { code, difference_percent: difference, lower_percent: lower, upper_percent: upper } = contrast;
  const light = contrast.light_plants_looked_at ?? 0;
  const dark = contrast.dark_plants_looked_at ?? 0;
  if (code === 'cannot_say') return light + dark === 0 ? '' : held.foliage.cannot_say(format.count(light), format.count(dark));
  const sentence = held.foliage[code](format.of(contrast.light_infested_plants ?? 0, light), format.of(contrast.dark_infested_plants ?? 0, dark));
  if (typeof difference !== 'number' || typeof lower !== 'number' || typeof upper !== 'number' || code === 'none_found') return sentence;
  return `${sentence} ${held.difference(format.signed(difference), signedBound(lower, format), signedBound(upper, format))}`;
}

function signedBound(points: number, format: Speech['format']): string {
  return points === 0 ? format.number(0) : format.signed(points);
}

/** The common scale of the ranking: all shares, and the intervals except the widest twentieth, which are cut. */
export function heldTop(held: readonly ComparedGroup[]): number {
  return percentTop([mostOf(held.map(({ upper_percent: upper }) => upper)), ...held.map(({ infested_percent: share }) => share)]);
}

/** The adjusted p of a group. The server leaves out a member that is zero: a group that differs without one has a tiny one. */
export function adjustedText({ adjusted_p: p, differs }: Pick<ComparedGroup, 'adjusted_p' | 'differs'>, speech: Speech): string {
  return p === undefined && differs === 'no' ? '–' : pText(p ?? 0, speech);
}

/** The counts of all compared groups together. */
export function countsTogether(held: readonly ComparedGroup[]): { infested: number; looked: number } {
  return {
    infested: sum(held, ({ infested_plants: infested }) => infested),
    looked: sum(held, ({ plants_looked_at: looked }) => looked),
  };
}

/** A line of the funnel: the limits at a number of plants. */
interface FunnelStep {
  plants: number;
  lower: number;
  upper: number;
}

/** The funnel limits by plants looked at; where groups of as many plants have different ones, the wider. */
export function funnelSteps(held: readonly ComparedGroup[]): FunnelStep[] {
  const steps = new Map<number, FunnelStep>();
  for (const { plants_looked_at: plants, funnel_lower_percent: lower, funnel_upper_percent: upper } of held) {
    const at = steps.get(plants);
    steps.set(plants, at ? { plants, lower: Math.min(at.lower, lower), upper: Math.max(at.upper, upper) } : { plants, lower, upper });
  }
  return [...steps.values()].toSorted((a, b) => a.plants - b.plants);
}
