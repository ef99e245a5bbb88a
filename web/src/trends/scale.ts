import type { TrendGroup } from '../contract.gen';
import { addDays, weekOf, weeksBetween } from '../local/zone';
import { percentTop } from '../marks';

/** How far ahead of today the axis of many charts reaches for a limit or a forecast, in weeks. */
const ahead = 4;

/**
 * The weeks of all charts of a page: from the first look to today, and a few further
 * where a forecast or a limit lies ahead. `reach`: how many weeks further at most.
 */
export function axisWeeks(groups: readonly TrendGroup[], today: string | undefined, reach = ahead): string[] {
  const weeks = groups.flatMap(({ points }) => points.map(({ week }) => week)).toSorted();
  const first = weeks[0];
  let last = weeks.at(-1);
  if (first === undefined || last === undefined) return [];
  if (today !== undefined) {
    const now = weekOf(today);
    if (now > last) last = now;
    const limit = groups.flatMap(({ limits }) => limits.filter(({ to_on }) => to_on > today).map(({ to_on }) => to_on)).toSorted()[0];
    const forecast = groups.flatMap((group) => group.forecast?.points?.at(-1)?.on ?? []).toSorted().at(-1);
    const furthest = weekOf(addDays(today, 7 * reach));
    for (const date of [limit, forecast]) {
      if (date === undefined) continue;
      const wanted = weekOf(date) < furthest ? weekOf(date) : furthest;
      if (wanted > last) last = wanted;
    }
  }
  return weeksBetween(first, last);
}

/** The value that all but the highest twentieth stay under. */
export function mostOf(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.max(0, Math.ceil(values.length * 0.95) - 1)] ?? 0;
}

/**
 * The common top of the percent scale. It holds every share and limit, and the
 * intervals and forecasts except the widest twentieth: those of a handful of plants
 * reach near 100 % and would flatten all others; they are cut at the top of the chart.
 */
export function commonTop(groups: readonly TrendGroup[]): number {
  const points = groups.flatMap((group) => group.points);
  const coming = groups.flatMap((group) => group.forecast?.points ?? []);
  const limits = groups.flatMap((group) => group.limits.map((limit) => limit.percent * 1.1));
  return percentTop([
    mostOf(points.map((point) => point.upper_percent)),
    mostOf(coming.map((point) => point.upper_50_percent)),
    ...points.map((point) => point.infested_percent),
    ...limits,
  ]);
}

/** The top of the chart of one group: it holds the whole of its forecast as well. */
export function wholeTop(group: TrendGroup): number {
  return Math.max(commonTop([group]), percentTop((group.forecast?.points ?? []).map((point) => point.upper_90_percent)));
}
