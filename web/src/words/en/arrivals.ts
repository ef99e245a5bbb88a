import { mark } from '../../trends/mark';
import { formatIn } from '../format';

const f = formatIn('en');

/** "4 weeks after arrival" */
function age(weeks: number): string {
  if (weeks === 0) return 'in the week of arrival';
  return weeks < 0 ? `${f.plural(-weeks, 'week', 'weeks')} before arrival` : `${f.plural(weeks, 'week', 'weeks')} after arrival`;
}

const start = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const arrivals = {
  title: 'Arrivals by age',
  age,
  counts: (of: string, share: string) => `${of} plants, ${share}`,
  range: (when: string, n: number, [high, highCounts]: [string, string], [low, lowCounts]: [string, string]) =>
    `${start(when)}, of ${f.plural(n, 'week of arrival', 'weeks of arrival')} looked at by then, ${mark(high)} stands highest for sure at ${mark(highCounts)}, and ${mark(low)} lowest at ${mark(lowCounts)}.`,
  differ: (higher: string, lower: string) => {
    if (lower === '') return `${mark(`${higher} differs`)} from the others: more infested at the same age.`;
    if (higher === '') return `${mark(`${lower} differs`)} from the others: less infested at the same age.`;
    return `${mark('They differ')} at the same age: more infested than the others together ${mark(higher)}, less ${mark(lower)}.`;
  },
  someDiffer: `Chance alone would hardly make them differ so much, but ${mark('none stands out')} by itself.`,
  alike: `They ${mark('cannot be told apart')}: chance alone could make them differ as much.`,
  single: (when: string, name: string, counts: string) =>
    `${start(when)} only ${mark(name)} was looked at: ${mark(counts)}. There is nothing to hold it against at that age.`,
  noneFound: (when: string, n: number, plants: string, upper: string) =>
    `${start(when)}, none was found in any of ${f.plural(n, 'week of arrival', 'weeks of arrival')}, on ${mark(`${plants} plants`)} looked at; up to ${mark(upper)} could still have it where fewest were.`,
  noneAt: (when: string) => `${start(when)} nothing was looked at.`,
  nothing: 'No lot whose arrival is known was looked at yet.',

  mapTitle: 'Each week of arrival as it grew older',
  mapLead: 'A row is what arrived in one week, a column how many weeks ago that was. Read down a column to hold arrivals against each other at the same age, and choose its head to compare there. A cell opens to its lots and looks.',
  inDoubt: 'in doubt',
  arrived: 'Arrived',
  weeksSince: 'weeks since arrival',
  lots: (n: number) => f.plural(n, 'lot', 'lots'),
  mixedRow: (week: string) => `Mixed, ${week}`,
  mixedNote: 'Mixed lots hold plants of several arrivals. They stand apart, by the age of the first of them, and are not compared.',
  notLookedAt: 'not looked at',
  toCome: 'still to come',
  cell: (week: string, mixed: boolean, weeks: number, then: string) => `${mixed ? 'Mixed lots, first arrival in' : 'Arrived in'} ${week}, ${age(weeks)} (${then})`,
  compareAt: (weeks: number) => `Compare ${age(weeks)}`,
  legend: {
    share: (top: string) => `the darker, the more is infested: from none to ${top} or more`,
    known: 'the longer the part that is not hatched, the better the share is known; mostly hatched: hardly anything is',
    none: 'none found, which is not none there',
    notLookedAt: '– nobody looked; an empty place is still to come',
  },
  figures: 'In a cell: infested of looked at, and the share with its interval.',

  compareTitle: (weeks: number) => `Compared ${age(weeks)}`,
  compareLead: (top: string) =>
    `The surest high shares first, so that 1 of 5 does not come before 15 of 80. One scale, 0 to ${top}. Arrivals can differ by cultivar, supplier and house as well: narrow down to hold like against like.`,
  differs: { higher: 'more infested', lower: 'less infested', no: 'not told apart' },
  discovery: (percent: string) => `“More” and “less” take into account how many were compared; of all that are called so, ${percent} may be by chance.`,

  lotsTitle: 'The lots of it',
  lot: 'Lot',
  noLots: 'None of these lots was looked at in that week.',
  close: 'Close',
  inTrends: 'Week by week, lot by lot',
  unknownPlants: (n: number) => `${f.plural(n, 'plant', 'plants')} looked at this season stood in lots that are not known; they have no age and are not here.`,
  emptyTitle: 'No arrival was looked at yet',
  empty: 'Each walk adds a column here: what arrived in one week, so many weeks later.',
};
