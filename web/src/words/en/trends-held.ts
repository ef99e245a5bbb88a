import { mark } from '../../trends/mark';
import { formatIn } from '../format';

const f = formatIn('en');

/** The groups of a page held against each other. */
export const held = {
  title: 'Compared with each other',
  cannotSay: (weeks: string) => `The groups cannot be held against each other yet: in ${weeks} too few plants were looked at.`,
  weeks: (from: string, to: string): string => (from === to ? from : `${from} to ${to}`),
  summary: (weeks: string, groups: string, higher: number, lower: number, compared: number) => {
    const start = `${weeks}, ${groups}: `;
    const taking = `taking into account that ${f.plural(compared, 'group was', 'groups were')} compared`;
    if (higher + lower === 0) return `${start}${mark('the plants of none stand out')} from those of the others, ${taking}.`;
    const parts = [
      ...(higher > 0 ? [mark(`the plants of ${f.count(higher)} are more infested`)] : []),
      ...(lower > 0 ? [mark(higher > 0 ? `those of ${f.count(lower)} less` : `the plants of ${f.count(lower)} are less infested`)] : []),
    ];
    return `${start}${f.list(parts)} than those of the others together, ${taking}.`;
  },
  more: (names: string) => `More infested plants: ${names}.`,
  less: (names: string) => `Less infested plants: ${names}.`,
  andMore: (n: number) => `${f.count(n)} more`,
  chance: 'Chance alone could make the groups differ as much as they do.',
  notChance: 'Chance alone would hardly make the groups differ as much as they do.',
  discovery: (n: number) => (n < 1 ? 'It is unlikely that any of these is here by chance alone.' : `About ${f.count(n)} of these may be here by chance alone.`),
  yetBelow: (limit: string) => `more than the rest, but below ${limit}`,
  withUnknown: (groups: string, n: number) => `${groups} and ${n === 1 ? 'one' : f.count(n)} not known by name`,
  differs: { higher: 'plants more infested', lower: 'plants less infested', no: 'not told apart' },
  short: { higher: 'more infested', lower: 'less infested', no: 'not told apart' },
  ranking: (n: number) => `The ranking of ${f.plural(n, 'group', 'groups')}`,
  rankingNote: (top: string) =>
    `Over the weeks named above, not the latest week alone as on the cards. The surest high shares first, so that 1 of 5 does not come before 15 of 80. One scale, 0 to ${top}.`,
  marks: {
    share: 'share with its interval',
    shrunken: 'share corrected for few plants (the order stays)',
    overall: (counts: string, percent: string) => `all together: ${counts} · ${percent}`,
  },
  towards: (percent: string) => `corrected for few plants: ${percent}`,
  others: 'Against the others',
  showAll: (n: number) => `Show all ${f.count(n)}`,
  showFewer: (n: number) => `Show the first ${f.count(n)}`,
  funnel: 'Is it only few plants? Share against plants looked at',
  funnelNote:
    'With few plants a share swings widely by chance; with many it settles near the share of all. Between the curved lines lie nearly all groups that differ by chance only; those outside are named where there is room; the table has all.',
  funnelLabel: (groups: string) => `Share of plants with it against plants looked at, ${groups}`,
  funnelText: (outside: string): string => (outside === '' ? 'No group lies outside the lines.' : `Outside the lines: ${outside}.`),
  plantsAxis: 'plants looked at',
  inside: 'inside the lines',
  outside: 'outside the lines',
  group: 'Group',
  expected: 'By chance alone',
  where: 'Against the lines',
  place: { over: 'over', under: 'under', inside: 'between' },
  shrunken: 'Corrected',
  adjusted: 'p, adjusted',
  rank: 'Rank',
  ranked: (rank: number) => `rank ${f.count(rank)}`,
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
  difference: (points: string, lower: string, upper: string) => `Dark less light: ${points} percentage points (from ${lower} to ${upper}).`,
};
