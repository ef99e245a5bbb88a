import { sum } from 'd3-array';

import type { AgeComparison, ArrivalCell, Arrivals, ArrivalWeek, ComparedGroup } from '../../contract.gen';
import { someNames } from '../compare';
import type { Speech } from '../answers';

/** Below this the arrivals are said to differ by more than chance. */
const hardlyChance = 0.05;

/** "W31" */
export function shortName(key: string, { format }: Speech): string {
  return format.week(key);
}

/** "4 weeks after arrival", "in the week of arrival" */
export function ageText(age: number, { words }: Speech): string {
  return words.arrivals.age(age);
}

function countsText(group: ComparedGroup, { words, format }: Speech): string {
  return words.arrivals.counts(
    format.of(group.infested_plants, group.plants_looked_at),
    format.interval(group.infested_percent, group.lower_percent, group.upper_percent),
  );
}

/** Whether the arrivals of an age differ, as sentences. Figures are marked. */
function verdict({ groups, homogeneity_p: p }: AgeComparison, speech: Speech): string {
  const say = speech.words.arrivals;
  const named = (way: ComparedGroup['differs']): string[] => groups.filter(({ differs }) => differs === way).map(({ key }) => shortName(key, speech));
  const [higher, lower] = [named('higher'), named('lower').toReversed()];
  if (higher.length + lower.length > 0) return say.differ(someNames(higher, speech), someNames(lower, speech));
  return typeof p === 'number' && p < hardlyChance ? say.someDiffer : say.alike;
}

/** How the arrivals stand to each other at an age, as sentences. Figures are marked. */
export function ageAnswer({ ages }: Pick<Arrivals, 'ages'>, age: number | undefined, speech: Speech): string {
  const say = speech.words.arrivals;
  const at = ages.find(({ age_weeks: weeks }) => weeks === age);
  if (age === undefined || !at) return age === undefined ? say.nothing : say.noneAt(ageText(age, speech));
  const when = ageText(age, speech);
  const { groups } = at;
  const [highest] = groups;
  if (!highest) return say.noneAt(when);
  const infested = sum(groups, (group) => group.infested_plants);
  if (groups.length === 1) return say.single(when, shortName(highest.key, speech), countsText(highest, speech));
  if (infested === 0) {
    const most = Math.max(...groups.map((group) => group.upper_percent));
    return say.noneFound(when, groups.length, speech.format.count(sum(groups, (group) => group.plants_looked_at)), speech.format.percent(most));
  }
  const lowest = groups.filter((group) => group !== highest).reduce((least, group) => (group.upper_percent < least.upper_percent ? group : least));
  return [
    say.range(when, groups.length, [shortName(highest.key, speech), countsText(highest, speech)], [shortName(lowest.key, speech), countsText(lowest, speech)]),
    verdict(at, speech),
  ].join(' ');
}

/** Which cell it is: "Arrived in W31, 4 weeks after arrival (W35)". */
export function cellName(arrival: ArrivalWeek, { age_weeks: age, point }: ArrivalCell, { words, format }: Speech): string {
  return words.arrivals.cell(format.week(arrival.week), arrival.mixed, age, format.week(point.week));
}

/** What a cell says: "12 of 60 · 20 % (12–32)". */
export function cellShare({ point }: ArrivalCell, { words, format }: Speech): string {
  const doubt = point.looks_in_doubt > 0 ? ` · ${words.common.chart.doubt(point.looks_in_doubt)}` : '';
  return `${format.share(point)}${point.weighted ? `, ${words.trends.weighted}` : ''}${doubt}`;
}
