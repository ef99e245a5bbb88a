import { mark } from '../../trends/mark';
import { formatIn } from '../format';

const f = formatIn('en');
const be = (n: number): string => (n === 1 ? 'is' : 'are');
const blocks = (n: number): string => f.plural(n, 'block', 'blocks');

/** "7 to 13 Sep", "31 Aug to 6 Sep" */
function dates(from: string, to: string): string {
  return `${from.slice(0, 7) === to.slice(0, 7) ? String(Number(from.slice(8))) : f.date(from)} to ${f.date(to)}`;
}

export const map = {
  title: 'Map of a house',
  places: { front: 'front', middle: 'middle', back: 'back', 'left side': 'left side', 'right side': 'right side' },
  spot: 'hot spot',
  spotAt: (where: string) => `hot spot, ${where}`,
  onPurpose: (spot: string, of: string) => `${spot}, looked at on purpose: ${of}`,
  state: { empty: 'no plants', not_looked_at: 'not looked at', none_found: 'none found', found: 'found' },
  answer: {
    blocks: (looked: number, all: number) => `${f.of(looked, all)} blocks`,
    some: (house: string, week: string, of: string, seen: string, organism: string, share: string) =>
      `${house}, ${week}: ${mark(`${of} plants`)} in ${seen} have ${organism}, ${mark(share)}.`,
    none: (house: string, week: string, plants: string, seen: string, organism: string, confidence: string, upper: string) =>
      `${house}, ${week}: no ${organism} seen on ${mark(`${plants} plants`)} in ${seen}; with ${confidence} confidence fewer than ${mark(upper)} have it.`,
    over: (n: number, names: string) => `${mark(`${blocks(n)} ${be(n)} over the limit`)} even by ${n === 1 ? 'itself' : 'themselves'}: ${names}.`,
    beside: (n: number, names: string, over: number) => `${mark(`${f.count(n)} more ${n === 1 ? 'stands' : 'stand'} beside`)} ${over === 1 ? 'it' : 'them'}: ${names}.`,
    noneIn: (n: number) => `In ${blocks(n)} looked at none was found.`,
    unseen: (n: number) => `${mark(`${blocks(n)} with plants ${n === 1 ? 'was' : 'were'} not looked at`)}.`,
    spots: (names: string) => `Hot spots: ${names}.`,
    nobody: (house: string, week: string, n: number) => `${house}, ${week}: ${mark('nobody looked')} yet, and plants stand in ${blocks(n)}.`,
    nothing: (house: string, week: string) => `${house}, ${week}: nobody looked, and no plants are known to stand there.`,
  },
  weekLabel: 'Week',
  week: (week: string, from: string, to: string) => `${week} · ${dates(from, to)}`,
  mapTitle: 'The blocks in walking order',
  mapLead: 'Blocks that follow each other are neighbours. A block opens to its looks; the arrow keys go from one to the next.',
  noSection: 'No section',
  over: (limit: string) => `over ${limit}`,
  beside: (names: string) => `beside ${names}`,
  legend: {
    share: (top: string) => `the darker, the more is infested: from none to ${top} or more`,
    known: 'the longer the part that is not hatched, the better the share is known',
    outline: 'full outline: looked at; dashed: plants, but nobody looked; faint: no plants',
  },
  blockTitle: (block: string, week: string) => `${block}, ${week}`,
  standing: (n: number) => `${f.plural(n, 'plant stands', 'plants stand')} there at the end of the week.`,
  inTrends: (block: string) => `${block} week by week`,
  close: 'Close',
  tableTitle: (week: string) => `The blocks of ${week} as a table`,
  standingHead: 'Plants there',
  limitHead: 'By itself',
  besideHead: 'Beside one over its limit',
  spotsHead: 'Hot spots',
  houseTitle: (house: string) => `${house} week by week`,
  pickWeek: 'Choose a week here or on the slider to see the map of it.',
  limitNote: 'A limit is judged for a cultivar in a house, where enough plants are looked at. A block over it by itself says where to go first; a block that is not says little, for few plants of it were looked at.',
  orderNote: 'The map is drawn from the walking order of the blocks, not from their place in the house.',
  emptyTitle: 'Nothing to draw yet',
  empty: 'Once plants stand in the blocks of this house, or somebody looked, they appear here week by week.',
  noHouses: 'There is no house here',
  noHousesText: 'An owner sets up houses and blocks under Setup.',
  houseGone: 'This house is not one of yours to see',
  houseGoneText: 'Choose another one above.',
};
