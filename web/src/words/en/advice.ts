import { mark } from '../../trends/mark';
import { formatIn } from '../format';
import { evidence } from './advice-evidence';

const f = formatIn('en');

/** "on 15 Sep", "from 10 to 25 Sep" */
function dates(from: string, to: string): string {
  if (from === to) return `on ${f.date(from)}`;
  return `from ${from.slice(0, 7) === to.slice(0, 7) ? String(Number(from.slice(8))) : f.date(from)} to ${f.date(to)}`;
}

export const advice = {
  title: 'What to do',
  lead: 'What the looks say, and what people here decided. The page calculates; you decide.',
  leadCultivar: 'A limit is judged house by house: one sheet for each. The page calculates; you decide.',
  /** The word after "12 of 60". */
  plantsOf: (n: number): string => (n === 1 ? 'plant' : 'plants'),
  unread: 'This page does not know how to read this line. Reload it: a newer version may be out.',
  leadLot: 'A limit is judged on all plants of a cultivar in a house. So this is about all of those the lot stands among, not the lot alone. The page calculates; you decide.',
  of: (cultivar: string, house: string) => `${cultivar} in ${house}`,
  emptyTitle: 'Nothing to advise on yet',
  empty: 'Advice is given for a cultivar in a house. It appears here once plants of it stand there and somebody has looked at some of them.',
  toWalk: 'Go to the walk',

  /** How the answer begins. */
  suggest: {
    look_at_more: (of: string, plants: number | null, exactly: boolean) => {
      if (plants === null) return `${mark('Look at more plants')} of ${of}`;
      const more = f.plural(plants, 'more plant', 'more plants');
      return `${mark(exactly ? `Look at ${more}` : `Check at least ${more}`)} of ${of}`;
    },
    stay_biological: (of: string) => `${mark('Stay with biological control')} for ${of}`,
    deal_with_hot_spots: (of: string) => `${mark('Deal with the hot spots')} of ${of}`,
    consider_selective: (of: string) => `${mark('Consider selective chemical control')} for ${of}`,
    nothing_to_say: (of: string) => `${mark('Nothing to say yet')} about ${of}`,
  },
  /** How the answer goes on. */
  some: (some: string, organism: string, share: string) => `${mark(`${some} plants`)} have ${organism}, ${mark(share)}`,
  none: (plants: string, organism: string, upper: string) => `no ${organism} seen on ${mark(plants)}, so most likely no more than ${mark(upper)} have it`,
  limit: (percent: string, from: string, to: string) => `the limit of ${percent} ${dates(from, to)}`,
  standing: {
    below: (limit: string) => `, below ${limit}.`,
    above: (limit: string) => `, above ${limit}.`,
    too_close: (limit: string) => `, too close to ${limit}.`,
    too_few: (limit: string) => `; too few plants were looked at to judge ${limit}.`,
    no_limit: () => '. No limit is set for the days ahead.',
  },
  /** Where it is going, when that is what the suggestion rests on. */
  ahead: {
    below: (limit: string, chance: string) => `; it should stay below ${limit} (chance of being over it: ${chance}).`,
    above: (limit: string, chance: string) => `; if it goes on like this it will be over ${limit} (chance: ${chance}).`,
    too_close: (limit: string, chance: string) => `; whether it will be over ${limit} is open (chance: ${chance}).`,
  },
  limitOf: (percent: string) => `the limit of ${percent}`,
  limitOn: (percent: string, on: string) => `the limit of ${percent} on ${on}`,
  noLooks: 'nobody has looked at it yet this season.',
  nothingToDo: (of: string) => `${mark('Nothing left to do')} about ${of}`,
  goneTag: 'No plants there any more',
  gone: 'no plants of it stand there any more.',
  stale: (weeks: number) => `The latest look was ${f.plural(weeks, 'week', 'weeks')} ago.`,
  /** What the numbers of the answer mean, for who has never met an interval. */
  sample: (plants: string, standing: string | null, bounds: string) =>
    `The ${plants} are only a sample. In ${standing === null ? 'the whole crop' : `all ${standing} that stand there`} the share is most likely somewhere in ${bounds} %`,
  means: {
    below: (limit: string) => `: all of that is under ${limit}.`,
    above: (limit: string) => `: all of that is over ${limit}.`,
    too_close: (limit: string) => `: that reaches from under ${limit} to over it, so these looks cannot tell on which side the crop is.`,
    too_few: (limit: string) => `: with so few plants that is not held against ${limit}.`,
    /** Too close, and none found. */
    none_found: (limit: string) => `: that still reaches over ${limit}, so too few plants were looked at to be sure that it is below.`,
    no_limit: () => '. With no limit there is nothing to hold that against. Owners and growers set limits under Setup.',
  },
  meansAhead: 'How it goes on from there is calculated from its pace so far.',
  smallest: (smallest: string) => `This limit is judged from ${smallest} on, or from 5 % of the crop where that is fewer.`,
  noLooksYet: 'The figures come from looks: walk a block, lift plants, count those with and those without.',

  suggestion: 'What the figures suggest',
  code: {
    look_at_more: 'Look at more plants',
    stay_biological: 'Stay with biological control',
    deal_with_hot_spots: 'Deal with the hot spots',
    consider_selective: 'Consider selective chemical control',
    nothing_to_say: 'Nothing to say yet',
  },
  /** What the suggestion asks of a person. */
  asks: {
    look_at_more: 'The plants looked at so far leave the question open. Take the new ones from all blocks, not from the worst bench.',
    stay_biological: (by: string) => `Go on with the natural enemies as now, and look again by ${by}.`,
    deal_with_hot_spots: 'See to the places where it sits, and leave the rest of the house as it is: take out the worst plants, give these places more natural enemies, or treat only there.',
    consider_selective: 'Natural enemies alone may not bring it down in time. Talk it over with your adviser now: what is licensed for this crop, what spares the natural enemies, and whether it can still work in time.',
    nothing_to_say: 'The figures do not say enough for a suggestion. That is not the same as all is well.',
  },
  /** What the fewest plants settle, and how they have to turn out. */
  settles: {
    none: (n: number, ahead: boolean) =>
      `You can stop after the next ${n === 1 ? 'one only if it does not have it' : `${f.count(n)} only if none of them has it`}: then it is ${ahead ? 'likely to stay ' : ''}below the limit.`,
    all: (n: number, ahead: boolean) =>
      `You can stop after the next ${n === 1 ? 'one only if it has it' : `${f.count(n)} only if all of them have it`}: then it is ${ahead ? 'likely to go ' : ''}over the limit.`,
  },
  goOn: 'Any other result means: go on. After each look the page works out anew how many more it takes.',
  everyPlant: 'That is every plant there: then it is known.',
  /** One line for each house, before all details. */
  houses: {
    title: { lot: 'What to do in each house', cultivar: 'What to do in each house', house: 'What to do for each cultivar' },
    this: { lot: 'This lot', cultivar: 'This cultivar, all houses', house: 'This house, all cultivars' },
    all: (cultivar: string, house: string) => `All ${cultivar} in ${house}`,
    standing: {
      below: 'below the limit',
      above: 'above the limit',
      too_close: 'too close to call',
      too_few: 'too few plants looked at to be sure',
      no_limit: 'no limit',
      no_looks: 'not looked at yet',
    },
    more: (n: number) => `check ${f.count(n)} more`,
    rest: (n: number): string => (n === 1 ? 'check the last one' : `check the last ${f.count(n)}`),
    /** Here `to` is what is likely, or all that are left; null when that is not known. */
    moreUpTo: (n: number, to: number | null, all: boolean, open: string | null) =>
      `check ${f.count(n)} first${to === null ? '' : `, probably ${all ? `all ${f.count(to)} that are left` : `about ${f.count(to)} in all`}`}; ${open === null ? 'see below' : `open ${open} below to see`} when to stop`,
  },
  likely: (likely: string, all: boolean) => `Expect to check about ${likely} more${all ? ' (all that are left)' : ''} if the share stays as it is.`,
  notEven: (plants: string) => `If the share stays as it is, not even all ${plants} that stand there settle it: it is simply close to the limit. Then you judge, and the next round tells more.`,
  round: (plants: number) => `${f.plural(plants, 'more plant makes', 'more plants make')} a whole round, by the rules of the round.`,
  why: (reasons: string) => `Why: ${reasons}.`,
  ...evidence,

  evidence: 'For and against staying with biological control',
  evidenceLead: 'Each line points one way: for going on with biological control as now, against it, or it leaves the matter open. Lines are not added up; those the suggestion rests on come first.',
  noEvidence: 'There is no evidence yet. It grows with every look.',
  direction: { for_biological: 'for staying', against_biological: 'against staying', open: 'leaves it open' },
  topic: {
    limit: 'Share and limit',
    forecast: 'Weeks ahead',
    growth: 'Pace',
    spread: 'Where it sits',
    foliage: 'Light and dark leaves',
    main_cultivar: 'Weight of the cultivar',
    new_growth: 'New growth',
    adults: 'Adults',
    dense_leaves: 'Crowded leaves',
    late_nymphs: 'Large nymphs',
    sampling: 'Rules of the round',
    time_left: 'Time left',
  },

  cautions: 'Before anybody acts',
  caution: {
    label: 'The label is the law. What it says about crop, pest, amount and place goes before anything on this page.',
    reentry: 'After a treatment nobody goes in before the re-entry time on the label is over.',
    licensed: 'What needs a licence is applied only by a licensed person, or under the eyes of one.',
    regulated: 'In some countries this pest is regulated. If that holds where you are: move, sell or throw away no plants, and call the plant health authority.',
    held: 'Plants of this crop are held: no moving, splitting, mixing or selling. Go there last, with tools of their own.',
    zero_is_not_free: 'None found does not mean free of the pest. The figures say how many plants may have it all the same.',
    rule_of_thumb: 'The limits are rules of thumb. You and your adviser set them.',
    compatibility: 'Ask the supplier of your natural enemies, and read on the label, what a treatment does to them and for how long.',
  },

  decided: 'What was decided',
  decidedLead: 'Whatever the figures suggest: a person decides. Write down what and why, and the figures of today are kept with it.',
  noDecision: 'Nothing has been decided yet this season.',
  mayNot: 'Growers and owners of the site record decisions; you can read them here.',
  noSeason: 'A decision belongs to a season and a pest. Set them up first.',
  record: 'Record a decision',
  recordOf: (of: string) => `Record a decision on ${of}`,
  choiceLabel: 'What is decided?',
  choice: {
    look_at_more: 'Look at more plants',
    stay_biological: 'Stay with biological control',
    deal_with_hot_spots: 'Deal with the hot spots',
    selective_control: 'Selective chemical control',
    something_else: 'Something else',
  },
  because: 'Why?',
  becauseHint: 'What tipped it: what you saw, what your adviser said, what you want to see next week.',
  keptWith: (figures: string) => `Kept with it: ${figures}`,
  keptDraft: 'This is what you had begun. It is not saved yet.',
  save: 'Save the decision',
  recorded: 'Decision saved.',
  takenBack: 'Taken back right after saving.',
  chooseFirst: 'Choose one.',
  whyFirst: 'A few words are enough, but say why.',
  by: (name: string, moment: string) => `${name}, ${moment}`,
  changedBy: (name: string) => `last changed by ${name}`,
  then: 'Figures then',
  now: (figures: string) => `Figures now: ${figures}`,
  suggestedThen: 'Suggested then',
  noFigures: 'no looks',
  figureShare: (share: string, week: string) => (week === '' ? share : `${week}: ${share}`),
  figureLimit: (percent: string, on: string) => (on === '' ? `limit ${percent}` : `limit ${percent} from ${on}`),
  figureChance: (chance: string) => `chance of being over the limit ahead: ${chance}`,
  done: 'Done',
  doneOn: (date: string) => `done on ${date}`,
  notDone: 'not noted yet',
  sayDone: 'It was done',
  correctDone: 'Correct when it was done',
  doneLabel: 'It was done on',
  doneNote: 'What was done',
  saveDone: 'Save',
  doneSaved: (date: string) => `Noted: done on ${date}.`,
  withdraw: 'Withdraw',
  withdrawOf: (decision: string) => `Withdraw: ${decision}`,
  sayDoneOf: (decision: string) => `It was done: ${decision}`,
  correctDoneOf: (decision: string) => `Correct when it was done: ${decision}`,
  withdrawWhy: 'Why is it withdrawn?',
  withdrawHint: 'The decision stays in the list of withdrawn ones, with your reason.',
  withdrawn: 'Decision withdrawn.',
  withdrawnBecause: (reason: string) => `Withdrawn: ${reason}`,
  withdrawnList: 'Withdrawn decisions',
  noneWithdrawn: 'None was withdrawn this season.',
  staleNow: (name: string) => `${name} changed this decision while you were writing. Nothing you typed is lost. As it stands now:`,
  saveOver: 'Save mine on top of it',
};
