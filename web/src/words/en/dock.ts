import { formatIn } from '../format';
import { dockAction } from './dock-action';
import { dockInspection } from './dock-inspection';
import { dockLab } from './dock-lab';
import { dockLife } from './dock-life';
import { dockLot } from './dock-lot';
import { dockReasons } from './dock-reasons';
import { dockShipment } from './dock-shipment';

const f = formatIn('en');
const lots = (n: number) => f.plural(n, 'lot', 'lots');

/** In sentences for the top of a page, `**` stands around what is set in bold. */
export const dock = {
  title: 'Dock',
  lead: 'Shipments expected and arrived, their lots and inspections.',
  newShipment: 'New shipment',
  planTime: 'Plan my time',
  inspect: 'Inspect',
  itIsHere: 'It is here',
  arrivedNow: (supplier: string, time: string) => `${supplier} reached the dock at ${time}.`,
  noSiteTitle: 'No site to receive at',
  noSite: 'An owner sets up the first site under Setup.',

  answer: {
    waiting: (n: number) => `**${lots(n)}** ${n === 1 ? 'waits' : 'wait'} for inspection`,
    claimOpen: (supplier: string, span: string) => `the claim time for ${supplier} ends in **${span}**`,
    withoutLots: (n: number) =>
      `**${f.plural(n, 'shipment', 'shipments')}** ${n === 1 ? 'has' : 'have'} arrived with no lots written down`,
    undecided: (n: number) => `**${lots(n)}** ${n === 1 ? 'was' : 'were'} inspected and ${n === 1 ? 'has' : 'have'} no verdict`,
    due: (n: number) => `**${f.plural(n, 'second look', 'second looks')}** ${n === 1 ? 'is' : 'are'} due`,
    late: (n: number) => `**${f.plural(n, 'second look', 'second looks')}** ${n === 1 ? 'is' : 'are'} late`,
    nothing: 'Nothing waits at the dock.',
    next: (supplier: string, day: string) => `The next shipment, from ${supplier}, is expected ${day}.`,
    noneExpected: 'No shipment is expected.',
    onDay: (day: string) => `on **${day}**`,
    today: '**today**',
    overdue: (supplier: string, day: string) => `The shipment from ${supplier}, due **${day}**, is not here yet.`,
  },

  claimCloses: (span: string) => `claim closes in ${span}`,
  claimClosed: (span: string) => `claim closed ${span} ago`,
  claimClosesAt: (moment: string) => `A claim must be sent by ${moment}.`,
  arrived: (moment: string) => `arrived ${moment}`,
  expected: (day: string) => `expected ${day}`,
  overdue: (n: number) => `${f.plural(n, 'day', 'days')} overdue`,
  toInspect: (waiting: number, all: number) => (waiting === all ? `${lots(all)} to inspect` : `${f.of(waiting, all)} lots to inspect`),
  allInspected: (n: number) => (n === 1 ? '1 lot, inspected' : `${lots(n)}, all inspected`),
  noLots: 'no lots yet',
  writeLots: 'Write down the lots',
  moreLots: (n: number) => `${n} more`,
  withdrawn: 'withdrawn',

  needsYou: 'Waiting for you',
  undecidedTitle: 'Inspected, no verdict yet',
  decide: 'Decide',
  secondLooks: 'Second looks',
  secondLooksLead: 'When first instars can be seen, every lot is looked at once more.',
  secondLook: 'Second look',
  window: (from: string, to: string) => `${from} to ${to}`,
  dueNow: 'due',
  dueLate: (n: number) => `${f.plural(n, 'day', 'days')} late`,
  comingUp: (n: number) => `Coming up: ${f.plural(n, 'lot', 'lots')}`,
  countedFrom: { sticking: 'counted from sticking', arrival: 'counted from arrival' },
  expectedTitle: 'Expected',
  expectedEmpty: 'Nothing is expected',
  expectedEmptyText: 'When a supplier tells you what is on its way, write it down here. On the day, one tap says it is here.',
  settledTitle: 'Settled',
  settledMore: (n: number) => `Earlier: ${f.plural(n, 'shipment', 'shipments')}`,
  emptyTitle: 'No shipment yet',
  empty:
    'Write down a shipment when it is announced or when it stands at the dock: who sent it, what was ordered. Then add its lots, one for each cultivar, or paste them from the supplier’s list. For each lot you are told how many plants to look at before you count.',

  plan: {
    title: 'What the time allows',
    minutes: 'Minutes I have',
    minutesUnit: 'min',
    ofShipment: (supplier: string) => `Only the shipment from ${supplier}`,
    otherTime: 'Another time',
    answerAll: (minutes: string, n: number, plants: number) =>
      `In **${minutes}** you can look at **every lot** that waits: ${lots(n)}, ${f.plural(plants, 'plant', 'plants')} in all.`,
    answerSome: (minutes: string, n: number, all: number, plants: number) =>
      `In **${minutes}** you can look at **${f.of(n, all)} lots**, ${f.plural(plants, 'plant', 'plants')} in all. There is no time for **${lots(all - n)}**.`,
    answerNone: (minutes: string, all: number) => `**${minutes}** are not enough for any of the ${lots(all)} that wait.`,
    nothing: 'No lot waits for inspection.',
    nothingText: 'When a shipment with lots has reached the dock, this page says which lot to look at first.',
    first: 'In this order',
    look: (plants: number, lot: number) => `Look at **${f.count(plants)}** of ${f.plural(lot, 'plant', 'plants')}`,
    minutesFor: (minutes: string) => `${minutes} min`,
    rulesOut: (percent: string, confidence: string) => `None found would rule out ${percent} or more infested, with ${confidence} confidence.`,
    rulesOutNothing: 'So few plants rule out nothing.',
    why: 'Why here',
    leftOut: (n: number) => `No time for ${lots(n)}`,
    leftOutText: 'Nothing is known of these lots until someone looks.',
    how: 'How the time is reckoned',
    secondsPerPlant: 'Seconds for a plant',
    secondsUnit: 's',
    minutesPerLot: 'Minutes to fetch, open and write up a lot',
    confidence: 'Confidence',
    method:
      'Lots come in the order of what was found before on the same farm (or supplier); a farm nobody has seen counts as half. Every lot is looked at to the finest level the time allows for all; what is left over sharpens the first ones.',
  },

  revisions: {
    title: 'Who changed what, when',
    first: 'Written down',
    change: (fields: string) => `Changed: ${fields}`,
    same: 'Saved again with the same content',
    fromTo: (from: string, to: string) => `${from} → ${to}`,
    empty: 'empty',
    version: (n: number) => `version ${n}`,
  },

  /** The members of a record as people call them. */
  member: {
    site_id: 'site',
    supplier_id: 'supplier',
    expected_on: 'expected on',
    left_at: 'left',
    landed_at: 'landed',
    docked_at: 'reached the dock',
    opened_at: 'opened',
    papers: 'papers',
    order_lines: 'order',
    boxes: 'boxes',
    note: 'note',
    withdrawn_because: 'withdrawn',
    cultivar_id: 'cultivar',
    plants: 'plants',
    farm_ids: 'farm',
    farm_known_by: 'farm known by',
    supplier_lot_code: 'supplier’s lot code',
    rooting_station: 'rooting station',
    form: 'form',
    code: 'code',
    inspected_at: 'inspected at',
    kind: 'kind',
    lens_power: 'lens',
    detection_percent: 'level to find',
    confidence_percent: 'confidence',
    sensitivity_percent: 'infested plants recognised',
    findings: 'findings',
    roots: 'roots',
    condition: 'condition',
    leaf_spots: 'leaf spots',
    other_diseases: 'other diseases',
    decision: 'decision',
    because: 'why',
  },

  loadCurrent: 'Load the current record (what is typed here is dropped)',
  withdraw: {
    title: 'Withdraw',
    why: 'Why it is withdrawn',
    byMistake: 'written down by mistake',
    hint: 'It is kept and marked; nothing is deleted.',
    done: 'Withdrawn.',
    notice: (why: string) => `Withdrawn: ${why}`,
    restore: 'Put back',
    restored: 'Put back.',
  },

  shipment: dockShipment,
  lot: dockLot,
  life: dockLife,
  action: dockAction,
  lab: dockLab,
  inspection: dockInspection,
  reasons: dockReasons,
};
