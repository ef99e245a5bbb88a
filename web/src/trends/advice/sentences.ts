import type { Advice, AdviceList, Evidence, TrendAnswer, TrendGroup } from '../../contract.gen';
import { chanceText } from '../ahead';
import { weeksSince, type Speech } from '../answers';
import { standingOf } from '../order';
import { besideLimit, boundsText, weightedShare } from '../share';
import { numbersOf, type EvidenceNumbers } from './numbers';

type Code = Advice['suggestion']['code'];

function member<T>(table: Readonly<Record<string, T>>, key: string | undefined): T | undefined {
  return key !== undefined && Object.hasOwn(table, key) ? table[key] : undefined;
}

/** What needs a person first stands first. */
const weight: readonly Code[] = ['consider_selective', 'deal_with_hot_spots', 'look_at_more', 'nothing_to_say', 'stay_biological'];

/** The sheets of a list, what needs a person first. */
export function inOrder(items: readonly Advice[]): Advice[] {
  const rank = (advice: Advice): number => (isGone(advice) ? weight.length : weight.indexOf(advice.suggestion.code));
  return items.toSorted((a, b) => rank(a) - rank(b));
}

/** The plants to look at that the sheet names: the fewest that can settle it, or exactly so many for a whole round. */
export function morePlants({ suggestion }: Advice): { plants: number; exactly: boolean } | null {
  const { code, fewest_plants: fewest = 0, likely_plants: likely = 0 } = suggestion; // 0 where no number settles it
  if (code !== 'look_at_more' || (fewest === 0 && likely === 0)) return null;
  return { plants: fewest || likely, exactly: fewest === likely };
}

/** The plants that stand there and were not looked at in the latest week. */
function leftOf({ standing_plants: standing, answer }: Advice): number {
  return standing - (answer?.point?.plants_looked_at ?? 0);
}

/** What to do about one sheet, in a few words: "check 5 first, then perhaps about 16; open House 3 below to see when to stop". `open` is the fold to open, if there is one. */
export function inShort(advice: Advice, { words }: Speech, open: string | null = null): string {
  const say = words.advice;
  if (isGone(advice)) return say.goneTag;
  const more = morePlants(advice);
  if (more === null) return say.code[advice.suggestion.code];
  const likely = advice.suggestion.likely_plants ?? 0;
  const left = advice.standing_plants > 0 ? leftOf(advice) : Infinity;
  if (!more.exactly && more.plants < left) return say.houses.moreUpTo(more.plants, likely > 0 && likely <= left ? likely : null, likely === left, open);
  return more.plants === left ? say.houses.rest(more.plants) : say.houses.more(more.plants);
}

/** How far so many more plants go; empty where no number is named. */
export function howFar(advice: Advice, { words, format }: Speech): string {
  const say = words.advice;
  const more = morePlants(advice);
  if (more === null) return '';
  const met = advice.evidence.some(({ code, finding }) => code === 'sampling' && finding === 'met');
  const { standing_plants: standing } = advice;
  const { likely_plants: likely = 0, fewest_settles: settles } = advice.suggestion;
  const left = leftOf(advice);
  const settled = settles ? `${say.settles[settles](more.plants, looksAhead(advice))} ${say.goOn}` : '';
  if (more.exactly) {
    if (settled !== '') return settled;
    if (standing > 0 && more.plants === left) return say.everyPlant;
    return met || standingOf(advice.answer ?? { code: 'no_looks' }) === 'too_few' ? '' : say.round(more.plants);
  }
  const enough = likely > 0 && (standing === 0 || likely <= left);
  return [
    enough ? say.likely(format.count(likely), standing > 0 && likely === left) : '',
    settled,
    !enough && standing > 0 ? say.notEven(format.count(standing)) : '',
  ]
    .filter((sentence) => sentence !== '')
    .join(' ');
}

/** Whether the suggestion rests on where it is going more than on where it stands. */
function looksAhead({ suggestion }: Advice): boolean {
  return suggestion.reasons.find((code) => code === 'limit' || code === 'forecast') === 'forecast';
}

/** How the answer ends: where it stands to its limit, or will. */
function standingText(advice: Advice, { words, format }: Speech): string {
  const say = words.advice;
  const { limit } = advice.answer ?? {};
  const code = standingOf(advice.answer ?? { code: 'no_looks' });
  const line = advice.evidence.find((one) => one.code === 'forecast');
  const ahead = line && member<(limit: string, chance: string) => string>(say.ahead, line.finding);
  const { limit: coming, over_limit_percent: chance = null, points } = advice.forecast ?? {};
  const on = line?.on ?? points?.at(-1)?.on;
  if (looksAhead(advice) && ahead && coming && chance !== null && on !== undefined) {
    return ahead(say.limitOn(format.percent(coming.percent), format.date(on)), chanceText(chance, { words, format }));
  }
  if (!limit || code === 'no_looks') return say.standing.no_limit();
  return say.standing[code](say.limit(format.percent(limit.percent), limit.from_on, limit.to_on));
}

/** What is suggested for which plants. */
function beginning(advice: Advice, { words }: Speech): string {
  const say = words.advice;
  const more = morePlants(advice);
  return say.suggest[advice.suggestion.code](say.of(advice.cultivar, advice.house), more?.plants ?? null, more?.exactly ?? false);
}

/** The answer in one sentence with its numbers. Figures are marked (`mark`). */
export function adviceAnswer(advice: Advice, asOf: AdviceList['as_of'], organism: string, speech: Speech): string {
  const { words, format } = speech;
  const say = words.advice;
  if (isGone(advice)) return `${say.nothingToDo(say.of(advice.cultivar, advice.house))}: ${say.gone}`;
  const begin = beginning(advice, speech);
  const { code, point } = advice.answer ?? { code: 'no_looks' as const };
  if (code === 'no_looks' || !point) return `${begin}: ${say.noLooks}`;
  const share =
    point.infested_plants === 0
      ? say.none(words.common.plants(point.plants_looked_at), organism, besideLimit(point.upper_percent, advice.answer?.limit?.percent, format))
      : say.some(format.of(point.infested_plants, point.plants_looked_at), organism, weightedShare(point, speech, advice.answer?.limit?.percent));
  const since = weeksSince(point.week, asOf);
  return `${begin}: ${share}${standingText(advice, speech)}${since > 1 ? ` ${say.stale(since)}` : ''}`;
}

/** Whether the plants are gone, so that there is nothing left to do about them. */
export function isGone({ suggestion, standing_plants: standing }: Advice): boolean {
  return suggestion.code === 'nothing_to_say' && suggestion.reasons.length === 0 && standing === 0;
}

/** Where all of its cultivar is over the limit in a house and the lot is not: what to go by instead of the lot; else empty. */
export function goByHouses({ answer: { code } }: Pick<TrendGroup, 'answer'>, items: readonly Advice[], { words, format }: Speech): string {
  const over = items.filter((advice) => advice.answer?.code === 'above' && !isGone(advice));
  const [first] = over;
  return first && code !== 'above' ? words.trends.cannotSay.goBy(first.cultivar, format.list(over.map(({ house }) => house))) : '';
}

/** The houses in which all of its cultivar stands elsewhere to the limit than the lot does. */
export function standingsOf({ answer }: Pick<TrendGroup, 'answer'>, items: readonly Advice[]): { name: string; code: TrendAnswer['code'] }[] {
  return inOrder(items)
    .filter((advice) => !isGone(advice))
    .map((advice) => ({ name: advice.house, code: standingOf(advice.answer ?? { code: 'no_looks' }) }))
    .filter(({ code }) => code !== standingOf(answer));
}

/** What the range in the answer means, for who has never met one; empty where there is nothing to explain. */
export function meaning(advice: Advice, { words, format }: Speech): string {
  const say = words.advice;
  const { code, point, limit } = advice.answer ?? { code: 'no_looks' as const };
  if (isGone(advice)) return '';
  if (code === 'no_looks' || !point) return say.noLooksYet;
  const standing = advice.standing_plants > 0 ? words.common.plants(advice.standing_plants) : null;
  const bounds = boundsText(point, limit?.percent, format);
  const sample = say.sample(words.common.plants(point.plants_looked_at), standing, bounds);
  if (looksAhead(advice)) return `${sample}. ${say.meansAhead}`;
  const smallest = limit?.smallest_plants ?? 0;
  return [
    sample + (limit ? say.means[code !== standingOf({ code, point }) ? 'none_found' : code](format.percent(limit.percent)) : say.means.no_limit()),
    ...(code === 'too_few' && smallest > 0 ? [say.smallest(words.common.plants(smallest))] : []),
  ].join(' ');
}

/** A sentence holds so many reasons; all of them stand in the evidence. */
const mostReasons = 3;

/** Why the suggestion is made, in words; empty when no reason is given. */
export function why(advice: Advice, { words, format }: Speech): string {
  const { suggestion, evidence } = advice;
  const reasons = suggestion.reasons
    .map((code) => {
      const line = evidence.find((one) => one.code === code);
      const finding = code === 'limit' && advice.answer && line?.finding === advice.answer.code ? standingOf(advice.answer) : line?.finding;
      return line && member<string>(words.advice.reason[line.code], finding);
    })
    .filter((text) => text !== undefined)
    .slice(0, mostReasons);
  return reasons.length === 0 ? '' : words.advice.why(format.list(reasons));
}

/** The lines of evidence, those the suggestion rests on first. */
export function linesInOrder({ suggestion, evidence }: Advice): Evidence[] {
  const rank = ({ code }: Evidence): number => {
    const at = suggestion.reasons.indexOf(code);
    return at < 0 ? suggestion.reasons.length : at;
  };
  return evidence.toSorted((a, b) => rank(a) - rank(b));
}

/** One line of evidence as a sentence with its numbers. A finding that is not known here says so. */
export function evidenceSentence(line: Evidence, advice: Advice, organism: string, speech: Speech): string {
  const say = speech.words.advice;
  const finding = line.code === 'limit' && advice.answer && line.finding === advice.answer.code ? standingOf(advice.answer) : line.finding;
  const sentence = member<(n: EvidenceNumbers) => string>(say.line[line.code], finding);
  return sentence ? sentence(numbersOf(line, advice, organism, speech)) : say.unread;
}
