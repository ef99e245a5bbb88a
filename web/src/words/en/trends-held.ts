import { mark } from '../../trends/mark';
import { formatIn } from '../format';

const f = formatIn('en');
const has = (n: number): string => (n === 1 ? 'has' : 'have');

/** The groups of a page held against each other. */
export const held = {
  title: 'Held against each other',
  cannotSay: (weeks: string) => `The groups cannot be held against each other yet: in ${weeks} too few plants were looked at.`,
  weeks: (from: string, to: string): string => (from === to ? from : `${from} to ${to}`),
  summary: (weeks: string, groups: string, higher: number, lower: number, compared: number) => {
    const start = `${weeks}, ${groups}: `;
    const taking = `taking into account that ${f.plural(compared, 'group was', 'groups were')} compared`;
    if (higher + lower === 0) return `${start}${mark('none stands out')} from the others, ${taking}.`;
    const parts = [
      ...(higher > 0 ? [mark(`${f.count(higher)} ${has(higher)} more`)] : []),
      ...(lower > 0 ? [mark(`${f.count(lower)} ${has(lower)} less`)] : []),
    ];
    return `${start}${f.list(parts)} of it than the others together, ${taking}.`;
  },
  more: (names: string) => `More: ${names}.`,
  less: (names: string) => `Less: ${names}.`,
  andMore: (n: number) => `${f.count(n)} more`,
  chance: 'Chance alone could make the groups differ as much as they do.',
  notChance: 'Chance alone would hardly make the groups differ as much as they do.',
  discovery: (percent: string) => `Of the groups named as differing, up to about ${percent} may be named by chance.`,
  differs: { higher: 'more than the others', lower: 'less than the others', no: 'not told apart' },
  short: { higher: 'more', lower: 'less', no: 'not told apart' },
  ranking: (n: number) => `The ranking of ${f.plural(n, 'group', 'groups')}`,
  rankingNote: (top: string) =>
    `By the lower end of the interval, the highest first, so that 1 of 5 does not come before 15 of 80. One scale, 0 to ${top}.`,
  marks: { share: 'share with its interval', shrunken: 'share drawn towards the mean of all; not ranked by', overall: (percent: string) => `all together: ${percent}` },
  towards: (percent: string) => `drawn towards the mean of all: ${percent}`,
  others: 'Against the others',
  showAll: (n: number) => `Show all ${f.count(n)}`,
  showFewer: (n: number) => `Show the first ${f.count(n)}`,
  funnel: 'Is it only few plants? Share against plants looked at',
  funnelNote:
    'With few plants a share swings widely by chance; with many it settles near the share of all. Between the curved lines lie nearly all groups that differ by chance only; those outside are named.',
  funnelLabel: (groups: string) => `Share of plants with it against plants looked at, ${groups}`,
  funnelText: (outside: string): string => (outside === '' ? 'No group lies outside the lines.' : `Outside the lines: ${outside}.`),
  plantsAxis: 'plants looked at',
  inside: 'inside the lines',
  outside: 'outside the lines',
  group: 'Group',
  expected: 'By chance alone',
  where: 'Against the lines',
  place: { over: 'over', under: 'under', inside: 'between' },
  shrunken: 'Towards the mean',
  adjusted: 'p, adjusted',
  rank: 'Rank',
  numbers: 'The numbers of the comparison',
  foliage: {
    light_only: (light: string, dark: string) =>
      `${mark('Found on light-leaved cultivars only')}: ${light}, against ${dark} on dark ones; that speaks for it not being widespread yet.`,
    dark_too: (light: string, dark: string) =>
      `${mark('Found on dark-leaved cultivars too')}: ${dark} against ${light} on light ones; that speaks for it being widespread.`,
    dark_more: (light: string, dark: string) =>
      `${mark('More on dark-leaved cultivars than on light ones')}: ${dark} against ${light}; that speaks for it being widespread.`,
    none_found: (light: string, dark: string) =>
      `On neither light-leaved nor dark-leaved cultivars was any found: ${light} and ${dark}. That rules out little where few plants were looked at.`,
    cannot_say: (light: string, dark: string) =>
      `${mark('Light and dark foliage cannot be held against each other yet')}: ${light} light-leaved and ${dark} dark-leaved plants were looked at.`,
  },
  difference: (points: string, bounds: string) => `Dark less light: ${points} percentage points (${bounds}).`,
};
