import { formatIn } from '../format';

const f = formatIn('en');
const plants = (n: number) => f.plural(n, 'plant', 'plants');

/** The life of a lot: how it began, what happened to it, what is left of it. */
export const dockLife = {
  /** How it begins, in the sentence at the top. */
  arrived: (code: string, cultivar: string, day: string, from: string) => `**${code}**, ${cultivar}, arrived **${day}** from ${from}.`,
  split: (code: string, cultivar: string, parent: string, day: string, arrived: string) =>
    `**${code}**, ${cultivar}, was split off **${parent}** on **${day}**; its plants arrived ${arrived}.`,
  merged: (code: string, cultivar: string, parents: string, day: string) => `**${code}**, ${cultivar}, was merged from **${parents}** on **${day}**.`,
  notBorn: (code: string, cultivar: string) => `**${code}**, ${cultivar}: the split or merge it was to begin with was withdrawn or does not fit.`,
  state: {
    not_born: 'not begun',
    expected: 'expected',
    received: 'received, not stuck',
    stuck: 'stuck',
    rooted: 'rooted',
    potted: 'potted',
    gone: 'gone',
  },
  onHand: (state: string, here: number, of: number) => `It is ${state}; **${f.of(here, of)}** plants are on hand.`,
  noneLeft: (of: number) => `None of its ${plants(of)} are left.`,
  held: (day: string, hold: string, by: string, why: string) =>
    `**Held** since ${day}${by === '' ? '' : ` by ${by}`} (${hold}${why === '' ? '' : `: ${why}`}).`,
  notHeld: 'It is not held.',
  byVerdict: 'verdict',
  hold: { internal: 'own hold', supplier: 'supplier’s hold', official: 'official hold' },
  scope: { lot: 'this lot', shipment: 'the whole shipment', crop: 'the whole crop', house: 'all that stands in the house', site: 'the whole site' },

  composition: 'What it is made of',
  compositionLead: 'Plants are not told apart in a merged lot: the shares are those of the counts.',
  arrival: 'Arrival',
  fraction: 'Part',
  percent: 'Share',
  arrivedOn: 'Arrived',
  supplier: 'Supplier',

  title: 'Its life',
  empty: 'Nothing has been recorded yet: count the plants when the boxes are opened.',
  rooted: (of: string, interval: string) => `Rooted: **${of}**${interval === '' ? '' : `, ${interval}`}.`,
  sum: {
    received: (n: number) => `${f.count(n)} received`,
    born: (n: number) => `${f.count(n)} at its beginning`,
    gained: (n: number) => `${f.count(n)} found by counting`,
    onHand: (n: number) => `${f.count(n)} on hand`,
    discarded: (n: number) => `${f.count(n)} discarded`,
    dispatched: (n: number) => `${f.count(n)} dispatched`,
    splitOff: (n: number) => `${f.count(n)} split off`,
    mergedAway: (n: number) => `${f.count(n)} merged away`,
    lost: (n: number) => `${f.count(n)} lost by counting`,
  },

  onParent: (code: string) => `on ${code}`,
  parentsLeftOut: (n: number) => `${f.plural(n, 'more lot', 'more lots')} its plants went through: open them to see what happened there.`,
  rootedOf: (rooted: number, stuck: number) => `${f.of(rooted, stuck)} rooted`,
  recount: (booked: number, found: number) =>
    found === booked
      ? `as in the book`
      : found < booked
        ? `${f.count(booked - found)} fewer than the ${f.count(booked)} in the book`
        : `${f.count(found - booked)} more than the ${f.count(booked)} in the book`,
  into: (n: number) => `${f.count(n)} to`,
  partOf: (n: number) => `${f.count(n)} of`,
  customer: (name: string) => `to ${name}`,
  paper: (number: string) => `paper ${number}`,
  look: (block: string) => `Looked at in ${block}`,
  onPurpose: 'on purpose',
  inspected: { dock: 'Inspected at the dock', second_look: 'Second look' },
  holdBegun: (hold: string, scope: string) => `Held: ${hold}, ${scope}`,
  holdLifted: (hold: string) => `Lifted: ${hold}`,
  although: 'done although held',
  aside: 'does not fit',
  beside: 'It does not go together with',
  besideLink: (movement: string, moment: string) => `${movement} of ${moment}`,
  withdrawn: (n: number) => `Withdrawn (${f.count(n)})`,
  correctNumber: 'Correct the number',
  notWhole: 'Its whole life needs a network. This is what the phone knows of it.',
  inTimeline: 'Newest first',

  conflicts: {
    title: 'Does not fit the book',
    lead: (n: number) => `${f.plural(n, 'movement was', 'movements were')} recorded but cannot have happened as written. A person has to say what is right.`,
    open: 'Settle',
    line: (movement: string, n: number, code: string, moment: string, by: string) => `${movement}, ${plants(n)}, ${code}, ${moment}, ${by}`,
    todo: {
      number: 'Correct the number if it was mistyped, withdraw the movement if it did not happen, or count the block anew before it.',
      moment: 'Correct the day or withdraw one of the two: they are in the wrong order.',
      birth: 'Withdraw one of the movements: a lot begins once.',
      lot: 'Withdraw it and record it on the lot it was really done to.',
    },
  },
};
