import type { TrendGroup } from '../contract.gen';
import { addDays, weekOf, weeksBetween } from '../local/zone';
import { percentTop } from '../marks';

/** How far ahead of today the axis reaches for a limit that is coming, in weeks. */
const ahead = 2;

/** The weeks of all charts of a page: from the first look to today, and a little further where a limit lies ahead. */
export function axisWeeks(groups: readonly TrendGroup[], today: string | undefined): string[] {
  const weeks = groups.flatMap(({ points }) => points.map(({ week }) => week)).toSorted();
  const first = weeks[0];
  let last = weeks.at(-1);
  if (first === undefined || last === undefined) return [];
  if (today !== undefined) {
    const now = weekOf(today);
    if (now > last) last = now;
    const coming = groups.flatMap(({ limits }) => limits.filter((limit) => limit.to_on > today).map((limit) => limit.to_on));
    const end = coming.toSorted().at(0);
    const furthest = weekOf(addDays(today, 7 * ahead));
    if (end !== undefined) {
      const wanted = weekOf(end) < furthest ? weekOf(end) : furthest;
      if (wanted > last) last = wanted;
    }
  }
  return weeksBetween(first, last);
}

/**
 * The common top of the percent scale. It holds every share and limit, and the
 * intervals except the widest twentieth: those of a handful of plants reach near
 * 100 % and would flatten all others; they are cut at the top of the chart.
 */
export function commonTop(groups: readonly TrendGroup[]): number {
  const points = groups.flatMap((group) => group.points);
  const uppers = points.map((point) => point.upper_percent).toSorted((a, b) => a - b);
  const most = uppers[Math.max(0, Math.ceil(uppers.length * 0.95) - 1)] ?? 0;
  const limits = groups.flatMap((group) => group.limits.map((limit) => limit.percent * 1.1));
  return percentTop([most, ...points.map((point) => point.infested_percent), ...limits]);
}
