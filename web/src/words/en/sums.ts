import { mark } from '../../trends/mark';
import { formatIn } from '../format';

const f = formatIn('en');
const plants = (n: number): string => f.plural(n, 'plant', 'plants');

export const sums = {
  title: 'Sums',
  lead: 'The sums behind the pages, to check them or to try a case of your own. They use no stored data and keep nothing. The address holds the sum you worked out last, so you can pass it on.',
  contents: 'The sums on this page',
  work: 'Work it out',
  method: 'Method',
  source: 'Source',
  name: {
    'sample-size': 'Sample size',
    proportion: 'Share',
    difference: 'Difference of two shares',
    'stop-lines': 'Stop lines',
    'degree-days': 'Degree-days',
  },
  leads: {
    'sample-size': 'How many plants of a lot to look at, drawn at random, to find an infestation.',
    proportion: 'What the plants looked at say about all plants.',
    difference: 'Whether two groups differ by more than chance.',
    'stop-lines': 'Looking at plants one by one: when one may stop and say below or above.',
    'degree-days': 'The warmth of one day for development. Thresholds belong to an organism: take them from its source.',
  },
  fields: {
    'sample-size': {
      lot_size: 'Plants in the lot',
      detection_percent: 'Infested share to find',
      confidence_percent: 'Confidence',
      sensitivity_percent: 'Infested plants recognised when looked at',
    },
    proportion: { examined: 'Plants looked at', infested: 'Infested plants', confidence_percent: 'Confidence', method: 'Method' },
    difference: {
      examined_a: 'Plants looked at, first group',
      infested_a: 'Infested plants, first group',
      examined_b: 'Plants looked at, second group',
      infested_b: 'Infested plants, second group',
      confidence_percent: 'Confidence',
    },
    'stop-lines': {
      acceptable_percent: 'Acceptable share',
      action_percent: 'Share to act on',
      alpha: 'Alpha',
      beta: 'Beta',
      maximum: 'Most plants to look at',
    },
    'degree-days': {
      minimum: 'Lowest temperature of the day',
      maximum: 'Highest temperature of the day',
      lower: 'Lower threshold',
      upper: 'Upper threshold',
      method: 'Method',
      unit: 'Unit',
    },
  },
  hints: {
    'sample-size': { sensitivity_percent: 'Left empty: 100 %.' },
    proportion: { confidence_percent: 'Left empty: 95 %.' },
    difference: { confidence_percent: 'Left empty: 95 %.' },
    'stop-lines': {
      alpha: 'Chance to say above at the acceptable share, such as 0.1',
      beta: 'Chance to say below at the share to act on, such as 0.1',
    },
    'degree-days': { upper: 'Left empty: none.' },
  },
  choices: {
    wilson: 'Wilson',
    'clopper-pearson': 'Clopper–Pearson',
    jeffreys: 'Jeffreys',
    'single-sine': 'Single sine',
    average: 'Average',
    C: '°C',
    F: '°F',
  },
  say: {
    lookAt: (some: string, level: string, confidence: string) =>
      `Look at ${mark(some)} plants: if ${level} are infested you find at least one with ${confidence} confidence.`,
    lookAtAll: (lot: string, level: string, confidence: string) =>
      `Look at ${mark(`all ${lot}`)} plants: if ${level} are infested you find at least one with ${confidence} confidence.`,
    recognising: (sensitivity: string) => `This counts on recognising ${sensitivity} of the infested plants among them.`,
    noInfested: (level: string, lot: string) => `${level} of ${lot} plants is less than one plant: no number of plants will find that.`,
    overlooked: (lot: string, confidence: string, sensitivity: string) =>
      `Even all ${lot} plants do not give ${confidence} confidence: with ${sensitivity} of infested plants recognised, too many are overlooked.`,
    noSample: (reason: string) => `No number of plants will do: ${reason}.`,
    share: (counts: string, interval: string) => `${mark(counts)} is ${mark(interval)}.`,
    none: (counts: string, confidence: string, limit: string) =>
      `${mark(counts)}: with ${confidence} confidence ${mark(`fewer than ${limit}`)} are infested.`,
    difference: (a: string, b: string, points: string, lower: string, upper: string, confidence: string) =>
      `${a} against ${b}: ${mark(`${points} percentage points`)}, and with ${confidence} confidence from ${lower} to ${upper}.`,
    perhapsNone: 'Zero lies within: these counts do not tell the two apart.',
    hardlyChance: 'Zero lies outside: chance alone hardly explains it.',
    oneByOne: 'Look at plants one by one.',
    above: (n: number, least: string) => `Above can be said after ${mark(plants(n))} at the earliest, with ${least} or more infested.`,
    below: (n: number, most: number) =>
      `Below can be said after ${mark(plants(n))} at the earliest, with ${most === 0 ? 'none' : `at most ${f.count(most)}`} infested.`,
    decided: (n: number) => `After ${plants(n)} it is decided all the same.`,
    wrong: (acceptable: string, above: string, action: string, below: string) =>
      `Done so, a true ${acceptable} is called above in ${above} of cases, and a true ${action} below in ${below}.`,
    degreeDays: (low: string, high: string, days: string, unit: string, lower: string) =>
      `A day from ${low} to ${high} gives ${mark(`${days} degree-days`)} (${unit}) above ${lower}.`,
    cutOff: (upper: string) => `What is warmer than ${upper} counts as ${upper}.`,
  },
  infestedUnits: (level: string) => `Infested plants at ${level}, rounded down`,
  interval: (confidence: string) => `Interval, ${confidence} confidence`,
  lines: {
    caption: 'Where the lines change',
    all: (n: number) => `All ${n} changes`,
    plants: 'Plants looked at',
    below: 'Below if infested at most',
    above: 'Above if infested at least',
    notYet: 'not yet',
  },
  operating: {
    caption: 'What the lines do, worked out exactly',
    percent: 'True share',
    below: 'Says below',
    above: 'Says above',
    plants: 'Plants on average',
  },
  chart: {
    label: (maximum: string) => `The two stop lines from 0 to ${maximum} plants looked at`,
    x: 'plants looked at',
    y: 'infested',
    above: 'above',
    goOn: 'go on',
    below: 'below',
  },
};
