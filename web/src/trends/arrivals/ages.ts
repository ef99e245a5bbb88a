import type { ArrivalCell, Arrivals, ArrivalWeek } from '../../contract.gen';
import { addDays, mondayOf, weekOf } from '../../local/zone';
import { percentTop } from '../../marks';
import { mostOf } from '../scale';

/** What is known of an arrival at an age: a cell; or that nobody looked; or that the week is still to come. */
export type AtAge = ArrivalCell | 'not_looked_at' | 'to_come';

/** The ages of the map, without gaps; from the week of arrival on, or from earlier where something was looked at before. */
export function agesOf({ weeks }: Pick<Arrivals, 'weeks'>): number[] {
  const seen = weeks.flatMap(({ cells }) => cells.map(({ age_weeks: age }) => age));
  if (seen.length === 0) return [];
  const first = Math.min(0, ...seen);
  return Array.from({ length: Math.max(...seen) - first + 1 }, (_, i) => first + i);
}

/** The week in which an arrival is of an age. */
export function weekAt({ week }: Pick<ArrivalWeek, 'week'>, age: number): string {
  return weekOf(addDays(mondayOf(week), 7 * age));
}

/** What is known of an arrival at each age. */
export function rowOf(arrival: ArrivalWeek, ages: readonly number[], today: string | undefined): AtAge[] {
  const byAge = new Map(arrival.cells.map((cell) => [cell.age_weeks, cell]));
  const now = today === undefined ? undefined : weekOf(today);
  return ages.map((age) => byAge.get(age) ?? (now !== undefined && weekAt(arrival, age) > now ? 'to_come' : 'not_looked_at'));
}

/** The oldest age at which at least half of the arrivals can be held against each other, since differences take time to show; else that with most of them. */
export function tellingAge({ weeks, ages }: Pick<Arrivals, 'weeks' | 'ages'>): number | undefined {
  const half = Math.max(2, weeks.filter(({ mixed }) => !mixed).length / 2);
  const most = ages.toSorted((a, b) => b.groups.length - a.groups.length)[0];
  return (ages.findLast(({ groups }) => groups.length >= half) ?? most)?.age_weeks;
}

/** The share that is drawn darkest; the highest twentieth does not lighten all the others. */
export function darkest({ weeks }: Pick<Arrivals, 'weeks'>): number {
  return percentTop([mostOf(weeks.flatMap(({ cells }) => cells.map(({ point }) => point.infested_percent)))]);
}
