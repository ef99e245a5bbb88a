import { formatIn } from '../format';

const f = formatIn('en');

/** Where one chooses what to follow. */
export const trailStart = {
  lead: 'Follow plants from where they were grown to where they are now, or back from a customer to the shipment they came with.',
  search: 'What do you want to follow?',
  hint: 'A name, a lot code, a date or the number of a paper.',
  emptyTitle: 'Start with what you know',
  empty: {
    forward: 'A bad word about a farm, a supplier or a shipment: follow it forward to every block and customer its plants have reached.',
    back: 'A customer rings, or you hold a delivery note: follow it back to the lots, shipments and farms.',
    reach: 'The plant health authority asks: every trail opens as one page to print, with papers, holds and what stood next to the plants.',
  },
  kinds: { farm: 'Farms', supplier: 'Suppliers', shipment: 'Shipments', lot: 'Lots', block: 'Blocks', customer: 'Customers', dispatch: 'Dispatches' },
  browse: { farm: 'All farms', supplier: 'All suppliers', shipment: 'Latest shipments', customer: 'All customers' },
  farmOf: (supplier: string) => `grown for ${supplier}`,
  lotOf: (cultivar: string, day: string) => `${cultivar}, ${day}`,
  lotMade: (cultivar: string) => `${cultivar}, made here`,
  papers: (numbers: string) => `papers ${numbers}`,
  noPapers: 'no paper numbers',
  dispatchOf: (customer: string, day: string) => `to ${customer}, ${day}`,
  noPaper: 'no paper number',
  noCustomers: 'No customers yet. They come with the first dispatch of a lot.',
  more: (n: number) => `and ${f.count(n)} more: write more of it`,
  found: (n: number) => (n === 0 ? 'Nothing found' : f.plural(n, 'match', 'matches')),
  none: (text: string) => `Nothing is called “${text}”.`,
  noneHint: 'Try a part of the name, the lot code without spaces, or the day as 14 Sep or 2026-09-14.',
  dispatchesLater: 'Still looking through the delivery notes …',
  dispatchesSome: (n: number) => `Delivery notes of the first ${f.plural(n, 'customer', 'customers')} were looked through; choose a customer to see all of theirs.`,
  strikes: 'Strike and loss',
  strikesLead: 'Which supplier’s and which farm’s cuttings root, and which are lost.',
};
