import { mark } from '../../trends/mark';
import { formatIn } from '../format';
import { trailReach } from './trail-reach';
import { trailStart } from './trail-start';
import { trailStrikes } from './trail-strikes';

const f = formatIn('en');
const lots = (n: number): string => f.plural(n, 'lot', 'lots');
const blocks = (n: number): string => f.plural(n, 'block', 'blocks');
const was = (n: number): string => (n === 1 ? 'was' : 'were');

export const trail = {
  title: 'Trail',
  another: 'Follow something else',
  openLot: 'Open the lot',
  openShipment: 'Open the shipment',
  wayLabel: 'Which way',
  onlyThese: (sites: string) => `This is not the whole answer: only ${sites} is in it, since you see no other sites. Someone who sees all of them must ask for the rest.`,
  way: { forward: 'Where they went', back: 'Where they came from' },
  noSuch: 'It may be at a site that is not yours, or the address may be mistyped.',
  nothingTitle: 'No plants on this trail yet',
  nothing: 'Nothing has been recorded that leads from here to a lot. A lot arrives with a shipment at the dock, or begins with a split or a merge.',

  /** What is followed, as a heading. */
  heading: {
    supplier: (name: string) => `Supplier ${name}`,
    farm: (name: string) => `Farm ${name}`,
    shipment: (name: string) => `Shipment of ${name}`,
    lot: (name: string) => `Lot ${name}`,
    block: (name: string) => `Block ${name}`,
    customer: (name: string) => `Customer ${name}`,
    dispatch: (name: string) => `Dispatch ${name}`,
  },
  shipmentOf: (supplier: string, day: string) => `${supplier}, ${day}`,
  dispatchOf: (day: string) => `of ${day}`,
  lots,
  plants: (n: string, one: boolean) => `${n}\u00a0${one ? 'plant' : 'plants'}`,
  shipments: (n: number) => f.plural(n, 'shipment', 'shipments'),

  /** How the answer begins; `name` is what is followed. */
  came: {
    supplier: (name: string, n: number, plants: string) => `From supplier ${name} came ${mark(lots(n))}, ${mark(plants)} received.`,
    farm: (name: string, n: number, plants: string) => `From farm ${name} came ${mark(lots(n))}, ${mark(plants)} received.`,
    shipment: (name: string, n: number, plants: string) => `With the shipment of ${name} came ${mark(lots(n))}, ${mark(plants)} received.`,
    lot: (name: string, _n: number, plants: string) => `Lot ${name} began with ${mark(plants)}.`,
    customer: (name: string, n: number, plants: string) => `Customer ${name} got plants of ${mark(lots(n))}, which began with ${mark(plants)} in all.`,
    dispatch: (name: string, n: number, plants: string) => `Dispatch ${name} took plants of ${mark(lots(n))}, which began with ${mark(plants)} in all.`,
  },
  stood: (name: string, n: number) => `${mark(lots(n))} stood in block ${name} or ${was(n)} made of lots that did.`,
  made: (n: number) => `${lots(n)} ${was(n)} made of them here.`,
  /** Where they are; joined as a list, the first begins a sentence. */
  stand: (n: string, one: boolean, nBlocks: number, houses: string) => `${mark(n)} ${one ? 'stands' : 'stand'} in ${mark(blocks(nBlocks))}${houses === '' ? '' : ` of ${houses}`}`,
  manyHouses: (n: number) => f.plural(n, 'house', 'houses'),
  unplaced: (n: string, one: boolean) => `${mark(n)} ${one ? 'is' : 'are'} not placed yet`,
  went: (n: string, _one: boolean, customers: number) => `${mark(n)} went to ${mark(f.plural(customers, 'customer', 'customers'))}`,
  wentUnknown: (n: string, one: boolean) => `${mark(n)} ${one ? 'plant' : 'plants'} left, to whom is not known`,
  discarded: (n: string, one: boolean) => `${mark(n)} ${one ? 'was' : 'were'} discarded`,
  missing: (n: string, one: boolean) => `${mark(n)} ${one ? 'was' : 'were'} found missing by counts`,
  found: (n: string, one: boolean) => `${mark(n)} more ${one ? 'was' : 'were'} found by counts`,
  held: (n: number) => `A hold is in force on ${mark(lots(n))}.`,
  addsUp: (received: string, sum: string) => `It adds up exactly: ${received} = ${sum}.`,
  addsUpParts: (n: number) => `${n === 1 ? 'One lot is' : `${f.count(n)} lots are`} mixed with plants from elsewhere; plants count by their exact parts, and add up exactly.`,
  addsNot: 'The numbers do not add up: the trail may have changed while it was read. Reload the page; if it stays so, tell whoever looks after Benchtrail.',
  addsNothing: 'What left these lots before they came to the block is not followed, so there is nothing to add up.',
  cannotRuleOut: (n: number) => `${mark(lots(n))} more of the same supplier cannot be ruled out: nobody has named their farm.`,
  uncertain: (n: number) => `Of ${lots(n)} it is not certain: several farms are named on ${n === 1 ? 'it' : 'them'}.`,

  /** Back. */
  got: {
    customer: (name: string, plants: string, dispatches: number, n: number) => `Customer ${name} got ${mark(plants)} in ${mark(f.plural(dispatches, 'dispatch', 'dispatches'))}, of ${mark(lots(n))}.`,
    dispatch: (name: string, plants: string, _dispatches: number, n: number) => `Dispatch ${name} took ${mark(plants)} of ${mark(lots(n))}.`,
  },
  behind: {
    lot: (name: string, n: number) => (n === 0 ? `Lot ${name} was made of no other lot.` : `Lot ${name} was made of ${mark(lots(n))}.`),
    block: (name: string, n: number) => `${mark(lots(n))} stood in block ${name} or went into lots that did.`,
    other: (n: number) => `${mark(lots(n))}.`,
  },
  cameWith: (shipments: number, names: string) => `The plants came with ${mark(f.plural(shipments, 'shipment', 'shipments'))}: ${names}.`,
  more: (n: number) => `${f.count(n)} more`,
  fromFarms: (names: string) => `Grown at ${names}.`,
  farmUnknown: (n: number) => `The farm of ${mark(lots(n))} is not known.`,

  parts: 'The exact parts',
  partsLead: 'A mixed lot keeps its parts through everything that happens to it. So plants become fractions, which are kept exactly and never rounded.',
  partsCaption: 'Where the plants are, exactly',
  partsLotsCaption: 'The mixed lots',
  partOf: 'From here',
  termHead: 'Plants',
  rounded: 'Rounded',
  exactly: 'Exactly',
  term: { received: 'received', on_hand: 'here', dispatched: 'dispatched', discarded: 'discarded', lost: 'missing', gained: 'found' },

  diagram: {
    title: 'From where to where',
    label: (answer: string) => `Flow of plants, as wide as there are plants. ${answer} The table below holds the same.`,
    region: 'Flow of plants; scrolls sideways',
    others: 'From other lots',
    found: 'Found by counts',
    unplaced: 'Not placed yet',
    discarded: 'Discarded',
    missing: 'Missing by counts',
    elsewhere: 'In other lots',
    unknownCustomer: 'To whom is not known',
    moreOf: {
      lot: (n: number) => `and ${f.plural(n, 'more lot', 'more lots')}`,
      shipment: (n: number) => `and ${f.plural(n, 'more shipment', 'more shipments')}`,
      customer: (n: number) => `and ${f.plural(n, 'more customer', 'more customers')}`,
      house: (n: number) => `and more houses, ${blocks(n)}`,
    },
    held: 'held',
    nHeld: (n: number) => `${f.count(n)} held`,
    uncertain: 'farm not certain',
    link: (from: string, to: string, plants: string) => `${from} → ${to}: ${plants}`,
    legend: { held: 'a hold is in force', uncertain: 'several farms, or none, are named', width: 'as wide as there are plants' },
    backNote: 'Lots are drawn with the plants that went this way, not with all they ever had.',
  },

  table: {
    title: 'Lot by lot',
    caption: 'Every lot of the trail',
    lot: 'Lot',
    lotCultivar: 'Lot, cultivar',
    cultivar: 'Cultivar',
    origin: 'Arrived, or made of',
    received: 'Received',
    onHand: 'Here now',
    discarded: 'Discarded',
    dispatched: 'Dispatched',
    otherwise: 'Otherwise',
    became: (n: string) => `${n} in other lots`,
    stands: 'Stands now',
    arrived: (day: string, supplier: string) => `${day}, ${supplier}`,
    madeOf: (codes: string, day: string) => `made of ${codes}, ${day}`,
    madeOfOthers: (day: string) => `made here, ${day}`,
    nowhere: 'nowhere',
    inBlock: (block: string, plants: string) => `${plants} in ${block}`,
    notPlaced: (n: string) => `${n} not placed`,
    missing: (n: string) => `${n} missing`,
    found: (n: string) => `${n} found`,
    held: 'held',
    uncertain: 'farm not certain',
    mixed: (percent: string) => `mixed: ${percent} from here`,
    supplierCode: (code: string) => `their lot ${code}`,
    cannotRuleOut: 'Cannot be ruled out',
    cannotRuleOutLead: 'Lots of the same supplier whose farm nobody has named, and what was made of them. Name the farm on the lot’s page and the trail says which it was.',
  },

  events: {
    title: 'What happened, in time',
    caption: 'Arrivals, splits, merges, dispatches and discards in time',
    when: 'When',
    what: 'What',
    lots: 'Lots',
    plants: 'Plants',
    arrived: (supplier: string) => `Arrived from ${supplier}`,
    born: (to: string) => `Became ${to}`,
    dispatched: (customer: string) => `Went to ${customer}`,
    discarded: (reason: string) => (reason === '' ? 'Discarded' : `Discarded: ${reason}`),
    paper: (number: string) => `paper ${number}`,
    whileHeld: 'while held',
  },

  exports: { title: 'As a file', csv: 'Spreadsheet (CSV)', epcis: 'EPCIS events (JSON)', reach: 'For the plant health authority', print: 'Print' },
  start: trailStart,
  reach: trailReach,
  strikes: trailStrikes,
};
