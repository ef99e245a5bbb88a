import type { Origin, OriginFact, OriginTerm } from '../../contract.gen';
import { weeksBetween } from '../../local/zone';
import { atStart, type Speech } from '../answers';
import { pText } from '../p-value';

/** Whether arrival or house is said to play a part. */
function saysSomething({ code }: Pick<Origin, 'code'>): boolean {
  return code === 'arrival' || code === 'house' || code === 'both' || code === 'neither';
}

/** The answer as a sentence with its strength, or why there is none. Figures are marked (`mark`). */
export function originAnswer(origin: Origin, organism: string, { words, format }: Speech): string {
  const say = words.origin;
  const answer = say.answer[origin.code](atStart(organism), origin.strength === 'none' ? '' : say.strength[origin.strength], origin);
  if (saysSomething(origin)) {
    return `${answer} ${say.readFrom(words.common.plants(origin.plants_looked_at), format.count(origin.infested_plants), origin.arrivals, origin.houses, origin.weeks)}`;
  }
  const because = origin.because ?? (origin.code === 'cannot_be_told_apart' ? 'confounded' : 'too_few');
  return answer + say.because[because](format.of(origin.infested_plants, origin.plants_looked_at));
}

/** Where a single lot's own history points, where the counts cannot decide; else empty. */
export function hintText({ code, facts }: Origin, { words }: Speech): string {
  const [only, ...others] = facts;
  if (code === 'arrival' || code === 'house' || code === 'both' || !only || others.length > 0) return '';
  const to = only.points_to;
  return to === 'arrival' || to === 'house' ? words.origin.hint(words.origin.pointsTo[to]) : '';
}

/** What the answer is good for, and what the facts may add to it; nothing is promised of facts that point nowhere. */
export function followsText(origin: Origin, speech: Speech): string {
  const { code, facts } = origin;
  const say = speech.words.origin;
  const undecided = code === 'neither' || code === 'cannot_be_told_apart';
  if (undecided && facts.every(({ points_to: to }) => to !== 'arrival' && to !== 'house')) return say.noHint;
  return hintText(origin, speech) || say.follows[code];
}

/** What was found on so many plants: nobody looked, none, or how many. */
export function foundText(infested: number, looked: number, { words, format }: Speech): string {
  const say = words.origin;
  if (looked === 0) return say.notLooked;
  return infested === 0 ? say.noneFound(words.common.plants(looked)) : say.found(format.of(infested, looked));
}

/** When it was first found in a block, counted from the first look there. */
export function firstText({ first_look_week: look, first_seen_week: seen }: OriginFact, { words, format }: Speech): string {
  const say = words.origin;
  if (!look && !seen) return say.noBlockLook;
  if (!seen) return say.notFoundSince(format.week(look ?? ''));
  const weeks = look ? weeksBetween(look, seen).length - 1 : 0;
  if (!look) return format.week(seen);
  return weeks > 0 ? say.firstFoundAfter(format.week(seen), weeks) : say.firstFoundAtOnce(format.week(seen));
}

/** On which growth it was found; a dash where it was not found at all. */
export function growthText({ first_seen_week: seen, old_growth_plants: old = 0, new_growth_plants: fresh = 0 }: OriginFact, { words, format }: Speech): string {
  const say = words.origin;
  if (!seen) return '–';
  return old + fresh === 0 ? say.growthNotNoted : format.list([say.oldGrowth(old), say.newGrowth(fresh)]);
}

/** What was found beside it before; a dash where it was not found at all, so that there is no before. */
export function neighboursText(fact: OriginFact, speech: Speech): string {
  if (!fact.first_seen_week) return '–';
  return foundText(fact.neighbours_infested_plants ?? 0, fact.neighbours_plants_looked_at ?? 0, speech);
}

/** What a term explains, first or after the other, beside what chance alone would. */
export function explainedText(term: OriginTerm, place: 'first' | 'last', dispersion: number, speech: Speech): string {
  const say = speech.words.origin;
  const [df, deviance, p] =
    place === 'first' ? [term.df_first, term.deviance_first, term.p_first ?? null] : [term.df_last, term.deviance_last, term.p_last ?? null];
  if (df === 0) return say.nothingLeft;
  const number = (n: number): string => speech.format.number(n, 1);
  const explained = say.explained(number(deviance), say.df(df), number(df * Math.max(1, dispersion)));
  return p === null ? explained : `${explained}; ${say.p(pText(p, speech))}`;
}

/** The facts in the order they are read: what points somewhere first, then by arrival. */
export function factsInOrder(facts: readonly OriginFact[]): OriginFact[] {
  const rank = ({ points_to: to, first_seen_week: seen }: OriginFact): number => (to === 'arrival' || to === 'house' ? 0 : seen ? 1 : 2);
  return facts.toSorted((a, b) => rank(a) - rank(b) || a.arrived_on.localeCompare(b.arrived_on) || a.lot_code.localeCompare(b.lot_code));
}
