import { mark } from '../../trends/mark';
import { formatIn } from '../format';

const f = formatIn('en');
const arrivals = (n: number): string => f.plural(n, 'arrival', 'arrivals');
const houses = (n: number): string => f.plural(n, 'house', 'houses');

/** From how many arrivals and houses an answer is read: a single one is not spoken of as if there were others. */
interface OriginCounts {
  arrivals: number;
  houses: number;
}

export const origin = {
  title: 'Where it came from',
  lead: 'Did it arrive with the plants, or did they catch it here? One does not rule out the other.',

  leadLot: 'The answer is read from all lots of its cultivar, since one lot alone has nothing to be held against. The facts are this lot’s own.',

  /** The answer; `organism` begins the sentence. */
  answer: {
    arrival: (organism: string, strength: string, { houses: n }: OriginCounts) =>
      `${mark(`${organism} follows the arrivals`)}: plants of some arrivals have it more often than others${n > 1 ? ', whichever house they stand in' : ''}${strength}.`,
    house: (organism: string, strength: string, { arrivals: n }: OriginCounts) =>
      `${mark(`${organism} follows the houses`)}: plants in some houses have it more often than in others${n > 1 ? ', whichever arrival they came with' : ''}${strength}.`,
    both: (organism: string, strength: string) =>
      `${mark(`${organism} follows both, the arrivals and the houses`)}: some arrivals have it more often, and so do some houses${strength}.`,
    neither: (_organism: string, _strength: string, n: OriginCounts) =>
      `${mark('The counts cannot decide')}: the differences ${n.arrivals < 2 ? 'between houses' : n.houses < 2 ? 'between arrivals' : 'between arrivals and between houses'} are small enough to be chance.`,
    cannot_be_told_apart: () => mark('The counts cannot decide'),
    cannot_say: () => mark('Nothing can be said yet'),
  },
  strength: { weak: ' (weak: it may be chance or a patch)', clear: ' (clear)', strong: ' (strong)' },
  because: {
    no_looks: () => ': nobody has looked at these plants in a block yet.',
    none_infested: (some: string) => `: it was found on ${some} plants. That does not mean it is not there.`,
    all_infested: (some: string) => `: it was found on ${some} plants, so there is no difference to read.`,
    one_arrival_and_house: () => ': there is only one arrival, in one house, and nothing to hold it against.',
    confounded: () => ': too few arrivals stand side by side in the same houses. Had it come with the plants or from the house, the figures would look the same.',
    too_few: (some: string) => `: ${some} plants had it. That is too few plants with it, or too few arrivals that stood in several houses, to tell a pattern from chance.`,
  },
  readFrom: (plants: string, infested: string, nArrivals: number, nHouses: number, weeks: number) =>
    `Read from ${plants}, ${infested} of them with it, of ${arrivals(nArrivals)} in ${houses(nHouses)}, over ${f.plural(weeks, 'week', 'weeks')}.`,
  follows: {
    arrival: 'What that is good for: take a larger sample of the next arrivals of the same origin, and tell the supplier what you found.',
    house: 'What that is good for: look at what stands next to it, at weeds, doors and left-over plants, before you blame the supplier.',
    both: 'What that is good for: a larger sample of the next arrivals of the same origin, and a look at what stands next to these plants.',
    neither: 'The facts below may still show where it began.',
    cannot_be_told_apart: 'The facts below may still show where it began: what was found at the dock, on old or on new growth, and beside it.',
    cannot_say: 'The facts below stand by themselves.',
  },
  noHint: 'The facts below point neither to an arrival nor to a house.',

  /** What a single lot's own history hints at, where the counts say nothing. */
  hint: (to: string) => `A hint from this lot’s own history: ${to} (no proof).`,
  facts: 'The facts, lot by lot',
  factsOne: 'The facts of this lot',
  factsCaption: (organism: string) => `What is known of each lot and ${organism}`,
  noFactsTitle: 'No lot to tell of yet',
  noFacts: 'No lot stands behind this yet. Lots come with a shipment at the dock.',
  lot: 'Lot',
  cultivar: 'Cultivar',
  arrived: 'Arrived',
  dock: 'At the dock',
  second: 'Second look',
  first: 'First found in a block',
  growth: 'Plants with it on',
  neighbours: 'Other arrivals beside it, two weeks before',
  points: 'Hint (no proof)',
  found: (of: string) => `found on ${of}`,
  noneFound: (plants: string) => `none on ${plants}`,
  notLooked: 'not looked at',
  firstFoundAfter: (week: string, weeks: number) => `${week}, ${f.plural(weeks, 'week', 'weeks')} after the first look`,
  firstFoundAtOnce: (week: string) => `${week}, at the first look`,
  notFoundSince: (week: string) => `not found, looked at since ${week}`,
  noBlockLook: 'not looked at in a block yet',
  oldGrowth: (n: number) => `old growth ${f.count(n)}`,
  newGrowth: (n: number) => `new growth ${f.count(n)}`,
  growthNotNoted: 'not noted',
  pointsTo: { arrival: 'the arrival', house: 'the house', nothing: 'neither' },
  howToRead: 'A lot points to the arrival when it was found at the dock or at the second look, or within two weeks of arriving, mostly on old growth and more than on its neighbours. It points to the house when at least 20 plants at the dock and the second look showed none and neighbours had it before. Common practice, no proof.',
  more: (n: number) => `Show ${f.plural(n, 'more lot', 'more lots')}`,

  how: 'How this was worked out',
  howText: 'Every look counts plants with and without it. The table says how much of the differences between looks is explained by which arrival the plants came with and by which house they stand in: each looked at first, and each after the other has had its turn. What still explains something after the other is not a mere shadow of it. Weeks are taken out beforehand.',
  dispersion: (factor: string) => `Plants that stand together resemble each other: chance was taken to be ${factor} times as large as for plants drawn one by one.`,
  termsCaption: 'What arrival and house explain',
  term: { arrival: 'Arrival', house: 'House' },
  termHead: 'What is looked at',
  levels: 'How many',
  firstTerm: 'Looked at first',
  lastTerm: 'After the other',
  explained: (deviance: string, df: string, chance: string) => `${deviance} on ${df}; chance alone: about ${chance}`,
  df: (n: number) => f.plural(n, 'degree of freedom', 'degrees of freedom'),
  nothingLeft: 'nothing left to explain',
  p: (p: string) => `p ${p}`,
  method: 'Analysis of deviance of the infested plants within weeks, in both orders (McCullagh and Nelder 1989); p from Fisher’s F with the scatter between arrivals in houses.',
};
