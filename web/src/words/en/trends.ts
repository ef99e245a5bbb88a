import { mark } from '../../trends/mark';
import { formatIn } from '../format';
import { held } from './trends-held';
import { looks } from './trends-looks';

const f = formatIn('en');
const be = (n: number): string => (n === 1 ? 'is' : 'are');
const has = (n: number): string => (n === 1 ? 'has' : 'have');

/** "10 to 25 Sep", "28 Aug to 4 Sep", "10 Sep" */
function dates(from: string, to: string): string {
  if (from === to) return f.date(from);
  const first = from.slice(0, 7) === to.slice(0, 7) ? String(Number(from.slice(8))) : f.date(from);
  return `${first} to ${f.date(to)}`;
}

const compared = (n: number): string => f.plural(n, 'comparison between blocks', 'comparisons between blocks');
const limitDates = (from: string, to: string): string => (from === to ? `on ${dates(from, to)}` : `from ${dates(from, to)}`);

export const trends = {
  title: 'Trends',
  places: { label: 'Pages of Trends', '/trends': 'Week by week', '/trends/arrivals': 'Arrivals by age', '/trends/map': 'Map of a house' },
  quoted: (text: string) => `“${text}”`,
  lead: 'The share of infested plants, week by week.',
  groupBy: 'Group by',
  otherGroupings: 'More groupings',
  filters: 'Narrow down',
  by: {
    lot: 'Lot',
    cultivar: 'Cultivar',
    arrival: 'Arrival date',
    arrival_week: 'Arrival week',
    shipped: 'Shipping date',
    supplier: 'Supplier',
    farm: 'Farm',
    form: 'Form',
    foliage: 'Foliage tone',
    bract: 'Bract colour',
    block: 'Block',
    section: 'Section',
    house: 'House',
    site: 'Site',
  },
  /** The groups of a grouping, counted. */
  groups: {
    lot: (n: number) => f.plural(n, 'lot', 'lots'),
    cultivar: (n: number) => f.plural(n, 'cultivar', 'cultivars'),
    arrival: (n: number) => f.plural(n, 'arrival date', 'arrival dates'),
    arrival_week: (n: number) => f.plural(n, 'week of arrival', 'weeks of arrival'),
    shipped: (n: number) => f.plural(n, 'shipping date', 'shipping dates'),
    supplier: (n: number) => f.plural(n, 'supplier', 'suppliers'),
    farm: (n: number) => f.plural(n, 'farm', 'farms'),
    form: (n: number) => f.plural(n, 'form', 'forms'),
    foliage: (n: number) => f.plural(n, 'foliage tone', 'foliage tones'),
    bract: (n: number) => f.plural(n, 'bract colour', 'bract colours'),
    block: (n: number) => f.plural(n, 'block', 'blocks'),
    section: (n: number) => f.plural(n, 'section', 'sections'),
    house: (n: number) => f.plural(n, 'house', 'houses'),
    site: (n: number) => f.plural(n, 'site', 'sites'),
  },
  allGroups: {
    lot: 'All lots',
    cultivar: 'All cultivars',
    arrival: 'All arrival dates',
    arrival_week: 'All weeks of arrival',
    shipped: 'All shipping dates',
    supplier: 'All suppliers',
    farm: 'All farms',
    form: 'All forms',
    foliage: 'All foliage tones',
    bract: 'All bract colours',
    block: 'All blocks',
    section: 'All sections',
    house: 'All houses',
    site: 'All sites',
  },
  unknown: {
    lot: 'Lot not known',
    cultivar: 'Cultivar not known',
    arrival: 'Arrival date not known',
    arrival_week: 'Week of arrival not known',
    shipped: 'Shipping date not known',
    supplier: 'Supplier not known',
    farm: 'Farm not known',
    form: 'Form not known',
    foliage: 'Foliage tone not known',
    bract: 'Bract colour not known',
    block: 'Block not known',
    section: 'No section',
    house: 'House not known',
    site: 'Site not known',
  },
  mixed: 'Mixed lots (of several arrivals)',
  severalFarms: (names: string): string => (names === '' ? 'Several farms' : `Several farms: ${names}`),
  arrivedOn: (date: string) => `Arrived ${date}`,
  leftOn: (date: string) => `Left ${date}`,
  arrivedIn: (week: string, date: string) => `Arrived in ${week} (from ${date})`,
  mixedFrom: (week: string, date: string) => `Mixed lots, first arrival in ${week} (from ${date})`,
  foliage: (tone: string) => `${tone} foliage`,
  bract: (colour: string) => `${colour} bracts`,
  site: 'Site',
  allSites: 'All my sites',
  house: 'House',
  allHouses: 'All houses',
  cultivar: 'Cultivar',
  allCultivars: 'All cultivars',
  allTones: 'All foliage tones',
  allArrivals: 'All arrivals',
  organism: 'Looked for',
  season: 'Season',
  seasonYear: (year: number, crop: string): string => (crop === '' ? `Season ${year}` : `${crop} ${year}`),
  asOf: (date: string) => `as of ${date}`,
  sorted: {
    known: 'The surest high shares come first, so that 1 of 5 does not come before 15 of 80. Each card tells of its own latest week.',
    limit: 'What needs a decision comes first. Each card tells of its own latest week.',
    name: 'By name. Each card tells of its own latest week.',
  },
  orderChoice: 'Order',
  orders: { known: 'Surest high shares', limit: 'Over the limit', name: 'Name' },
  scale: (top: string) => `One scale for all charts, 0 to ${top}. The band is the interval, cut at the top where few plants were looked at.`,

  /** One word for where a group stands. */
  standing: {
    above: 'Above the limit',
    too_close: 'Too close to call',
    too_few: 'Too few plants',
    no_limit: 'No limit',
    below: 'Below the limit',
    no_looks: 'No looks',
  },
  standingOf: (name: string, standing: string) => `${name}: ${standing.toLowerCase()}`,
  answer: {
    page: (above: number, groups: string, limit: string, rest: string) => {
      const start = above === 0 ? mark(`None of ${groups}`) : mark(`${f.count(above)} of ${groups}`);
      return `${start} ${above === 0 ? 'is' : be(above)} above ${limit}${rest === '' ? '' : `; ${rest}`}.`;
    },
    itsLimit: (n: number): string => (n === 1 ? 'its limit' : 'their limits'),
    rest: {
      too_close: (n: number) => `${mark(f.count(n))} ${be(n)} too close to call`,
      too_few: (n: number) => `${f.count(n)} ${has(n)} too few plants looked at`,
      below: (n: number) => `${f.count(n)} ${be(n)} below`,
      no_limit: (n: number) => `${f.count(n)} ${has(n)} no limit`,
      no_looks: (n: number) => `${f.count(n)} ${has(n)} not been looked at`,
    },
    limit: (percent: string, from: string, to: string) => `Limit: ${percent} ${limitDates(from, to)}.`,
    noLimits: (groups: string, organism: string, found: number) =>
      `No limit is judged for ${groups} here. In the latest week of ${found === 0 ? 'none' : mark(f.count(found))} of them, plants with ${organism} were found.`,
    unnamed: (name: string, standing: string) => `${name}: ${standing.toLowerCase()}.`,
    named: (name: string, sentence: string) => `${name}, ${sentence}`,
    some: (week: string, some: string, organism: string, share: string) =>
      `${week}: ${mark(`${some} plants`)} have ${organism}, ${mark(share)}.`,
    none: (week: string, plants: string, organism: string, confidence: string, upper: string) =>
      `${week}: no ${organism} seen on ${mark(plants)}; with ${confidence} confidence fewer than ${mark(upper)} have it.`,
    above: (percent: string, from: string, to: string) => `${mark('Above the limit')} of ${percent}, which applies ${limitDates(from, to)}.`,
    below: (percent: string, from: string, to: string) => `Below the limit of ${percent}, which applies ${limitDates(from, to)}.`,
    tooClose: (percent: string, from: string, to: string, more: number | null) =>
      `The limit is ${percent} ${limitDates(from, to)}. ${mark('Too close to call')}${more === null ? '.' : `: look at ${f.count(more)} more.`}`,
    tooFew: (percent: string, from: string, to: string, more: number | null) =>
      `The limit is ${percent} ${limitDates(from, to)}. ${mark('Too few plants')} to judge it${more === null ? '.' : `: look at ${f.count(more)} more.`}`,
    noLimit: 'No limit is judged here.',
    noLooks: 'No looks yet this season.',
    soFar: (blocks: string) => `so far this week, ${blocks} blocks`,
    stale: (weeks: number) => `That was ${f.plural(weeks, 'week', 'weeks')} ago.`,
  },
  change: (points: string) => `Change since the week with looks before: ${points} percentage points.`,
  emptyTitle: 'No looks to show yet',
  empty: 'A trend is made of looks: walk a block, count the plants with and without the pest, and the week appears here.',
  emptyFiltered: 'Nothing was looked at under these filters. Widen them, or look at another season.',
  emptySeasonTitle: 'There is no season yet',
  emptySeason: 'Set up a crop and its season first; lots and looks hang on it.',
  toWalk: 'Go to the walk',
  toSetup: 'Go to setup',
  leftOut: (onPurpose: number, withdrawn: number) => {
    const parts = [
      ...(onPurpose > 0 ? [`${f.plural(onPurpose, 'look', 'looks')} made on purpose (at a hot spot, say)`] : []),
      ...(withdrawn > 0 ? [f.plural(withdrawn, 'withdrawn look', 'withdrawn looks')] : []),
    ];
    return `Left out of the counts: ${f.list(parts)}.`;
  },
  noneLeftOut: 'No looks were left out of the counts.',
  /** What growth and forecast are about. */
  about: {
    lot: (houses: number): string => (houses > 1 ? `This lot, ${houses === 2 ? 'both' : `all ${f.count(houses)}`} houses` : 'This lot'),
    cultivar: 'This cultivar, all its houses',
    house: 'This house, all its cultivars',
  },
  /** The first bracket of the page, explained. */
  rangeMeans: (share: string, bounds: string, by: string) =>
    `${share} of those looked at; in ${by === 'lot' ? 'the whole lot' : 'all of it'} probably between ${bounds.replace('–', ' and ')} %.`,
  growth: {
    noneNow: 'None was found in the latest week: whether it grows cannot be said yet.',
    growing: (pace: string, tail: string) => `It has been ${mark('growing')}: ${pace}${tail}.`,
    shrinking: (pace: string, tail: string) => `It has been ${mark('shrinking')}: ${pace}${tail}.`,
    steady: () => `It has ${mark('hardly changed')} from week to week.`,
    unclear: () => `Whether it ${mark('grows or shrinks')} cannot be told yet.`,
    up: (part: string) => `it goes up by ${part} a week`,
    down: (part: string) => `it goes down by ${part} a week`,
    times: (times: string) => `it becomes about ${times} times as much in a week`,
    /** By how much of itself it changes. */
    part: {
      little: 'less than a tenth',
      tenth: 'about a tenth',
      fifth: 'about a fifth',
      quarter: 'about a quarter',
      third: 'about a third',
      half: 'about a half',
      two_thirds: 'about two thirds',
      three_quarters: 'about three quarters',
      most: 'more than four fifths',
    },
    pace: (from: string, to: string, bounds: string) => `At this pace ${from} become about ${to} in a week (${bounds}).`,
    doubling: (time: string) => `, doubling in about ${time}`,
    halving: (time: string) => `, halving in about ${time}`,
    weeks: (n: number): string => (n === 1 ? 'a week' : f.plural(n, 'week', 'weeks')),
    days: (n: number): string => (n === 1 ? 'a day' : f.plural(n, 'day', 'days')),
    note: (organism: string, confidence: string, pace: string) =>
      `The pace is worked out from the plants with ${organism} for every plant without. ${pace} The brackets hold its true value with ${confidence} confidence.`,
  },
  aheadTitle: 'How growth and forecast are meant',
  forecast: {
    on: (date: string, begins: boolean, share: string, bounds: string, chance: string) =>
      `On ${date}${begins ? ', when the next limit begins,' : ''} it may be at ${mark(share)} (most likely between ${bounds.replace('–', ' and ')}\u00a0%)${chance === '' ? '' : `; ${chance}`}.`,
    limit: (percent: string) => percent,
    /** How likely it is to be over a limit then, in a word and as a count. */
    over: {
      hardly: (limit: string, chance: string) => `it is ${mark('very unlikely')} (${chance}) that it is over ${limit} then`,
      unlikely: (limit: string, chance: string) => `it is ${mark('unlikely')} (${chance}) that it is over ${limit} then`,
      even: (limit: string, chance: string) => `the chances are ${mark('about even')} (${chance}) that it is over ${limit} then`,
      likely: (limit: string, chance: string) => `it is ${mark('likely')} (${chance}) that it is over ${limit} then`,
      almost: (limit: string, chance: string) => `it is ${mark('very likely')} (${chance}) that it is over ${limit} then`,
    },
    about: (n: number, of: number) => `about ${f.count(n)}\u00a0in\u00a0${f.count(of)}`,
    hardly: 'less than 1\u00a0in\u00a0100',
    almost: 'more than 99\u00a0in\u00a0100',
    point: (date: string, share: string) => `Forecast for ${date}: ${share}`,
    note: 'A forecast says where it goes if what happens to it stays as it was. It starts from all weeks together, not from the last count alone. Its brackets hold the share 9 times in 10. Releases, sprays and weather to come are not in it.',
    row: (week: string, date: string) => `${week} · ${date} (forecast)`,
    rowsNote: 'The forecast starts from all weeks together, not from the last count alone. In its rows the interval holds the share 9 times in 10.',
  },
  cannotSay: {
    looked: (plants: number, weeks: number, aLot: boolean) =>
      `${aLot ? 'For this lot alone, ' : ''}${f.plural(plants, 'plant', 'plants')} looked at in ${f.plural(weeks, 'week', 'weeks')} ${mark(plants === 1 ? 'does not yet show' : 'do not yet show')}`,
    whither: (looked: string) => `${looked} where it goes.`,
    growth: (looked: string) => `${looked} whether it grows.`,
    goBy: (cultivar: string, houses: string) => `All ${cultivar} in ${houses} is over its limit: go by that, not by this line.`,
  },
  legend: {
    seen: (confidence: string) => `share seen, with its interval (${confidence})`,
    middle: 'forecast: the real figure is as likely above this line as below it',
    half: 'hatched: 1 time in 2 it is in here',
    wide: 'dotted edge: 9 times in 10 it is in here',
  },
  doneTitle: (n: number) => `What was done meanwhile (${f.plural(n, 'day', 'days')}, by the numbers over the chart)`,
  /** What was done with plants, for a day of the time axis. */
  done: {
    receive: (n: number) => `${f.plural(n, 'plant', 'plants')} received`,
    stick: (n: number) => `${f.count(n)} stuck`,
    root: (n: number) => `rooting of ${f.count(n)} noted`,
    pot: (n: number) => `${f.count(n)} potted`,
    pinch: (n: number) => `${f.count(n)} pinched`,
    space: (n: number) => `${f.count(n)} spaced`,
    move: (n: number) => `${f.count(n)} moved`,
    split: (n: number) => `${f.count(n)} split off`,
    merge: (n: number) => `${f.count(n)} brought together`,
    discard: (n: number) => `${f.count(n)} discarded`,
    dispatch: (n: number) => `${f.count(n)} dispatched`,
    count: (n: number) => `${f.count(n)} counted`,
  },
  workedOut: 'How the figures are worked out',
  weighted: 'weighted',
  weightedNote: '* Weighted: blocks were not looked at equally, so each counts by the plants standing in it. The share is then not simply one count over the other.',
  mixedChoice: 'Mixed lots',
  mixedLots: { apart: 'A group of their own', shared: 'Shared out by origin' },
  mixedPlants: {
    apart: (n: number) => `${f.plural(n, 'plant', 'plants')} looked at this season stood in mixed lots, of several arrivals; they are a group of their own.`,
    shared: (n: number) =>
      `${f.plural(n, 'plant', 'plants')} looked at this season stood in mixed lots. They are shared out by what each lot was made of, the counts of each block and week rounded; whether the infested ones came from there is not known.`,
  },
  intervalChoice: 'Intervals',
  intervals: { design: 'By block', wilson: 'Wilson' },
  share: {
    wilson: 'Each share is the plants with it over all plants looked at in that week, never a mean of percentages.',
    design: 'Each share is the plants with it over all plants looked at in that week, weighted by the plants standing where blocks were not looked at equally; never a mean of percentages.',
  },
  method: {
    wilson: (confidence: string) =>
      `Intervals: Wilson (1927), ${confidence}, as if every plant had been drawn by itself; too narrow where plants of one block resemble each other.`,
    design: (confidence: string) =>
      `Intervals: ${confidence}, wider than for plants drawn by themselves, because plants of one block resemble each other; a single look gets Wilson’s (1927).`,
  },
  correlation: {
    known: (correlation: string, n: number) =>
      `How alike plants of one block are: ${correlation} on a scale from 0 (no more than any two plants) to 1 (all the same), worked out from ${compared(n)} of this season.`,
    standIn: (correlation: string, n: number) =>
      `How alike plants of one block are cannot be worked out yet (${compared(n)} so far): a cautious ${correlation} stands in, on a scale from 0 (no more than any two plants) to 1 (all the same).`,
  },
  limitsNote: 'A limit says when somebody has to decide. It recommends no treatment: for any of those the label, local rules and a licensed adviser come first.',
  seriesLabel: (name: string, organism: string) => `${name}: share of plants with ${organism} by week`,
  numbers: 'The numbers',
  numbersOf: (name: string) => `The numbers of ${name}`,
  openGroup: 'Open',
  lots: (n: number) => f.plural(n, 'lot', 'lots'),
  table: {
    week: 'Week',
    looks: 'Looks',
    blocks: 'Blocks',
    plants: 'Plants looked at',
    infested: 'With it',
    percent: 'Share (interval)',
    counts: 'As good as',
    countsNote: (confidence: string) =>
      `Plants of one block resemble each other, so they tell less than as many drawn by themselves all over the crop; a good part of all plants standing tells more. “As good as” says how many drawn by themselves would tell as much: the fewer, the wider the interval (${confidence}).`,
    doubt: 'In doubt',
    further: 'Looks and blocks of each week',
  },
  limits: 'Limits that apply',
  limitLine: (percent: string, from: string, to: string) => `${percent} ${limitDates(from, to)}`,
  limitAim: (percent: string, from: string, to: string) => `aim: below ${percent} ${limitDates(from, to)}`,
  /** The source of a limit; those of the published limits in the reader’s language. */
  limitSource: (source: string): string => source,
  smallest: (n: number) => `judged from ${f.plural(n, 'plant', 'plants')}, or 5 % of a small crop`,
  held,
  pickWeek: 'Choose a point in the chart or a week in the table to see the looks behind it.',
  groupGone: 'This group has no looks under these filters.',

  looksTitle: (week: string, from: string, to: string) => `Looks of ${week}, ${dates(from, to)}`,
  ...looks,
};
