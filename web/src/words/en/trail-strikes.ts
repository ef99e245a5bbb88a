import { mark } from '../../trends/mark';
import { formatIn } from '../format';

const f = formatIn('en');

/** Strike and loss per group. */
export const trailStrikes = {
  title: 'Strike and loss',
  lead: 'Strike: of the cuttings whose roots were counted, how many had roots. Loss: of the plants received, how many were discarded (also at the dock) or found missing, less those found again. Plants of one lot fare alike, so the intervals go by lots.',
  byLabel: 'By',
  by: { supplier: 'Supplier', farm: 'Farm', cultivar: 'Cultivar', shipment: 'Shipment' },
  unknown: 'Farm not known',
  mixed: 'Mixed lots',
  emptyTitle: 'Nothing to read yet',
  empty: 'Once lots are received, this shows what was lost of them. Strike follows when roots are counted: record “rooted” on the lot with how many of the cuttings stuck have roots.',
  most: (name: string, share: string, least: string) => `${mark(name)} lost most for certain: ${mark(share)}, so at least ${mark(least)}.`,
  surely: (n: number, others: number) =>
    n === 0 ? 'The order may still be chance: what others may have lost reaches as high.' : n === others ? 'That is more than any of the others may have lost.' : `That is more than ${f.count(n)} of the ${f.count(others)} others may have lost.`,
  noLoss: 'Nothing has been lost yet.',
  only: (name: string, share: string) => `${mark(name)} lost ${mark(share)}.`,
  rooted: (share: string) => `Of all cuttings whose roots were counted, ${mark(share)} had roots.`,
  noRoots: 'No roots have been counted yet.',
  caption: 'Strike and loss, most certain loss first',
  lots: 'Lots',
  strike: 'Rooted',
  loss: 'Lost',
  share: (of: string, interval: string) => `${of} · ${interval}`,
  notCounted: 'not counted',
  few: 'few plants',
  scale: (head: string, top: string) => `${head}, line from 0 to ${top}`,
  order: 'Sorted by the lower limit of the loss, so that a few plants never lead the list by chance.',
  thin: (n: number) => `Thin marks rest on fewer than ${f.count(n)} plants.`,
  method: 'Intervals are Wilson’s, at 95 %, as if plants were lost one by one. Cuttings of one box share their luck, so the truth is less certain than the intervals look, and a difference is a reason to ask, not a verdict.',
};
