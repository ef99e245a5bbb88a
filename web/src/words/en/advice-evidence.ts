import type { EvidenceNumbers } from '../../trends/advice/numbers';
import { formatIn } from '../format';

const f = formatIn('en');

const limited = (n: EvidenceNumbers): string => n.limited ?? 'the limit';

const counted = ({ some, share, organism }: EvidenceNumbers): string =>
  `${some ?? 'Some plants'} have ${organism}${share === null ? '' : `, ${share}`}`;

/** What is expected, and how sure that is. */
const ahead = (n: EvidenceNumbers): string =>
  [
    `If it goes on as it has so far${n.expected === null ? '' : `, about ${n.expected} of the plants will have ${n.organism}`}${n.on === null ? '' : ` on ${n.on}`}`,
    n.range === null ? '' : ` (most likely between ${n.range.replace('–', ' and ')})`,
    n.over === null ? '' : `; ${n.over}`,
  ].join('');

/** The pace, as what ten plants in a hundred become. */
const pace = ({ pace: at, weeks }: EvidenceNumbers): string =>
  at === null
    ? ''
    : ` At the pace ${weeks === null ? 'so far' : `of ${f.plural(weeks, 'week', 'weeks')} with looks`}, 10 plants with it in 100 become about ${at.next} within a week (${at.lower} to ${at.upper}).`;

const thin = (n: EvidenceNumbers): string =>
  `${n.weeks === null ? '' : `: so far there ${n.weeks === 1 ? 'is' : 'are'} ${f.plural(n.weeks, 'week', 'weeks')} with looks`}${n.plants === null ? '' : `, ${n.plants} in all`}`;

const shared = ({ share }: EvidenceNumbers): string => (share === null ? '' : `, ${share}`);
const on = (n: EvidenceNumbers): string => `${n.some ?? 'some plants'}${shared(n)}`;
const noted = 'on which it was noted';
const lately = ({ weeks }: EvidenceNumbers): string => (weeks === null ? '' : ` in the last ${f.plural(weeks, 'week', 'weeks')}`);
/** "12 of 60 plants on which it was noted, 20 % (12–32), in the last 3 weeks" */
const onLately = (n: EvidenceNumbers): string => `${n.some ?? 'some plants'} ${noted}${shared(n)}${n.share !== null && n.weeks !== null ? ',' : ''}${lately(n)}`;
/** What became of the large nymphs and pupae noted. */
const notes = (n: EvidenceNumbers): string => {
  if (n.noted === null) return `Large nymphs and pupae were noted${lately(n)}`;
  const { some, all } = n.noted;
  const found = some === 0 ? 'none' : f.count(some);
  return `Of ${f.plural(all, 'large nymph or pupa', 'large nymphs and pupae')} noted${lately(n)}, ${found}${n.share === null ? '' : `, ${n.share},`} ${some > 1 ? 'were' : 'was'} parasitised, eaten or dried up`;
};

/** What the latest round took in. */
const round = (n: EvidenceNumbers): string =>
  [
    `The latest looks took in ${n.plants ?? 'some plants'}`,
    n.share === null ? '' : `, ${n.share} of the crop`,
    n.blocks === null ? '' : n.ofBlocks === 1 ? ', in its only block' : `, in ${n.blocks} blocks`,
    n.days === null || n.days < 7 ? '' : `, and are ${f.plural(n.days, 'day', 'days')} old`,
  ].join('');

/** What the evidence says, as the end of a sentence and as a line of its own. */
export const evidence = {
  /** Why something is suggested, as the end of a sentence. */
  reason: {
    limit: {
      below: 'it is below the limit',
      above: 'it is above the limit',
      too_close: 'it is too close to the limit to call',
      too_few: 'too few plants were looked at',
      no_limit: 'no limit is set for the days ahead',
      cannot_say: 'nobody has looked yet',
    },
    forecast: {
      below: 'it should stay below the limit ahead',
      above: 'it will be over the limit ahead if nothing changes',
      too_close: 'whether it will pass the limit ahead is open',
      no_limit: 'no limit is set for the days ahead',
      cannot_say: 'nothing can be said yet about the weeks ahead',
    },
    growth: {
      rising: 'it is rising',
      falling: 'it is falling',
      steady: 'it is neither clearly rising nor falling',
      cannot_say: 'its pace is not known yet',
    },
    spread: {
      hot_spots: 'it sits in hot spots',
      widespread: 'it is in most of the blocks looked at',
      single_block: 'it sits in one block only',
      none_found: 'it was found in no block',
      cannot_say: 'how far it has spread is not known yet',
    },
    foliage: {
      light_only: 'only light-leaved cultivars have it',
      dark_too: 'dark-leaved cultivars have it too',
      dark_more: 'dark-leaved cultivars have it even more',
      none_found: 'neither light nor dark leaves have it',
      cannot_say: 'light and dark leaves cannot be held against each other yet',
    },
    main_cultivar: { main: 'this is a main cultivar', not_main: 'this is not a main cultivar', cannot_say: 'how much hangs on it is not known' },
    new_growth: {
      found: 'it is on the new growth',
      not_found: 'none was seen on the new growth',
      not_looked_for: 'old and new growth were not told apart',
    },
    adults: { found: 'adults were seen', not_found: 'no adults were seen', not_looked_for: 'adults were not looked for' },
    dense_leaves: {
      found: 'some leaves are crowded with it',
      not_found: 'no leaf is crowded with it',
      not_looked_for: 'nobody looked for crowded leaves',
    },
    late_nymphs: {
      most_not_healthy: 'most large nymphs are parasitised, eaten or dried up',
      most_healthy: 'most large nymphs are alive and healthy',
      not_found: 'no large nymphs were seen',
      not_looked_for: 'nobody looked at what becomes of the nymphs',
      cannot_say: 'too few large nymphs were seen',
    },
    sampling: { met: 'the latest looks meet the rules of a round', not_met: 'the latest looks are too few or too old for a round', cannot_say: 'there has been no round yet' },
    time_left: { time: 'there is time', short: 'time is short', past: 'the time for a change has passed', cannot_say: 'how much time is left is not known' },
  },
  line: {
    limit: {
      below: (n: EvidenceNumbers) => `${counted(n)}: below ${limited(n)}.`,
      above: (n: EvidenceNumbers) => `${counted(n)}: above ${limited(n)}.`,
      too_close: (n: EvidenceNumbers) => `${counted(n)}: too close to ${limited(n)} to tell on which side of it the crop is.`,
      too_few: (n: EvidenceNumbers) => `${counted(n)}: too few plants to judge ${limited(n)}.`,
      no_limit: (n: EvidenceNumbers) => `${counted(n)}; no limit is set for the days ahead.`,
      cannot_say: () => 'Nobody has looked at it yet this season.',
    },
    forecast: {
      below: (n: EvidenceNumbers) => `${ahead(n)}.`,
      above: (n: EvidenceNumbers) => `${ahead(n)}.`,
      too_close: (n: EvidenceNumbers) => `${ahead(n)}. That is not sure enough to go by.`,
      no_limit: () => 'No limit is set for the days ahead, so there is nothing to hold them against.',
      cannot_say: (n: EvidenceNumbers) => `The weeks ahead cannot be calculated yet${thin(n)}.`,
    },
    growth: {
      rising: (n: EvidenceNumbers) => `Rising.${pace(n)}`,
      falling: (n: EvidenceNumbers) => `Falling.${pace(n)}`,
      steady: (n: EvidenceNumbers) => `Neither clearly rising nor clearly falling.${pace(n)}`,
      cannot_say: (n: EvidenceNumbers) => `Whether it rises or falls cannot be said yet${thin(n)}.`,
    },
    spread: {
      hot_spots: (n: EvidenceNumbers) => `Found in ${n.blocks ?? 'a few'} blocks looked at: in hot spots, not everywhere.`,
      widespread: (n: EvidenceNumbers) => `Found in ${n.blocks ?? 'most'} blocks looked at: spread throughout, not in spots.`,
      single_block: (n: EvidenceNumbers) => `Found in ${n.blocks ?? 'one of the'} blocks looked at: in one place only, as far as was looked.`,
      none_found: (n: EvidenceNumbers) => `Found in no block${n.ofBlocks === null ? '' : `; ${f.plural(n.ofBlocks, 'block was', 'blocks were')} looked at`}.`,
      cannot_say: () => 'Whether it sits in spots or everywhere cannot be seen: that takes at least two blocks.',
    },
    foliage: {
      light_only: (n: EvidenceNumbers) =>
        `In this house only light-leaved cultivars have it${n.plants === null ? '' : `; none of ${n.plants} of dark-leaved ones had it`}. It takes light leaves first, so it is not everywhere yet.`,
      dark_too: (n: EvidenceNumbers) => `In this house dark-leaved cultivars have it too: ${on(n)}. ${n.few ? 'That is few so far; it takes those last, so watch them.' : 'It takes those last, so it may have spread far.'}`,
      dark_more: (n: EvidenceNumbers) => `In this house dark-leaved cultivars have it even more than light ones: ${on(n)}. ${n.few ? 'That is few so far; it takes those last, so watch them.' : 'It takes those last, so it may have spread far.'}`,
      none_found: (n: EvidenceNumbers) => `Found neither on light-leaved cultivars of this house nor on dark-leaved ones${n.plants === null ? '' : ` (${n.plants} of those)`}.`,
      cannot_say: (n: EvidenceNumbers) => `Light and dark leaves cannot be held against each other: too few plants of one or the other were looked at, ${n.plants ?? 'none'} of dark-leaved cultivars.`,
    },
    main_cultivar: {
      main: (n: EvidenceNumbers) => `${n.cultivar} is a main cultivar of ${n.house}${n.share === null ? '' : `, ${n.share} of its plants`}: much hangs on it.`,
      not_main: (n: EvidenceNumbers) => `${n.cultivar} is not a main cultivar of ${n.house}${n.share === null ? '' : `, only ${n.share} of its plants`}.`,
      cannot_say: () => 'How large a part of the house it is cannot be said: the plants standing are not known.',
    },
    new_growth: {
      found: (n: EvidenceNumbers) => `Seen on the new growth of ${onLately(n)}: ${n.few ? 'few so far.' : 'it moves up with the plant, a sign that the natural enemies lag behind.'}`,
      not_found: (n: EvidenceNumbers) => `Not seen on the new growth${n.plants === null ? '' : ` of ${n.plants} ${noted}`}${lately(n)}.`,
      not_looked_for: () => 'Nobody noted whether it is on new growth. Note it at the next look: it tells much.',
    },
    adults: {
      found: (n: EvidenceNumbers) => `Adults on ${onLately(n)}: ${n.few ? 'few so far.' : 'they lay new eggs.'}`,
      not_found: (n: EvidenceNumbers) => `No adults${n.plants === null ? '' : ` on ${n.plants} ${noted}`}${lately(n)}.`,
      not_looked_for: () => 'Nobody noted whether there are adults.',
    },
    dense_leaves: {
      found: (n: EvidenceNumbers) => `Leaves crowded with it on ${onLately(n)}: ${n.few ? 'few so far; natural enemies hardly catch up there.' : 'natural enemies hardly catch up there.'}`,
      not_found: (n: EvidenceNumbers) => `No leaf crowded with it${n.plants === null ? '' : ` on ${n.plants} ${noted}`}${lately(n)}.`,
      not_looked_for: () => 'Nobody noted whether leaves are crowded with it.',
    },
    late_nymphs: {
      most_not_healthy: (n: EvidenceNumbers) => `${notes(n)}: the natural enemies are at work.`,
      most_healthy: (n: EvidenceNumbers) => `${notes(n)}: the natural enemies do not keep up.`,
      not_found: (n: EvidenceNumbers) => `No large nymphs or pupae were noted${lately(n)}: so the work of the natural enemies cannot be read from them.`,
      not_looked_for: () => 'Nobody noted what becomes of the large nymphs and pupae: alive, parasitised, eaten or dried up.',
      cannot_say: (n: EvidenceNumbers) => `${notes(n)}: too few notes, or too mixed, to tell whether the natural enemies keep up.`,
    },
    sampling: {
      met: (n: EvidenceNumbers) => `${round(n)}: that meets the rules of a round.`,
      not_met: (n: EvidenceNumbers) => `${round(n)}: too little, or too long ago, for the rules of a round. Read the figures with care.`,
      cannot_say: () => 'There has been no round yet.',
    },
    time_left: {
      time: (n: EvidenceNumbers) => `${n.days === null ? 'There is time' : `${f.plural(n.days, 'day', 'days')} left`}${n.on === null ? '' : `, until ${n.on}`}, in which a change still works${n.few ? '' : ': time enough to see whether the natural enemies manage'}.`,
      short: (n: EvidenceNumbers) => `Only ${n.days === null ? 'few days' : f.plural(n.days, 'day', 'days')} left${n.on === null ? '' : `, until ${n.on}`}, in which a change still takes effect: whatever is decided has to begin soon.`,
      past: (n: EvidenceNumbers) => `The time in which a change still takes effect is over${n.on === null ? '' : ` since ${n.on}`}.`,
      cannot_say: () => 'How much time is left for a change cannot be said: the season has no date for it.',
    },
  },
};
