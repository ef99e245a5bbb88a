import type { Advice, TrendLimit, WeekLot, WeekPlace, WeekSection } from '../contract.gen';
import { chanceText } from '../trends/ahead';
import { isGone, morePlants, why } from '../trends/advice/sentences';
import type { Speech } from '../trends/answers';
import { besideLimit, weightedShare } from '../trends/share';

/** The lots of a section that are over their limit or near it. */
export function overOrNear({ counts }: WeekSection): number {
  return counts.over + counts.heading_over + counts.near;
}

/** A section in one sentence with its counts: lots, missed blocks, adults. Figures are marked (`mark`). */
export function sectionAnswer(section: WeekSection, { words, format }: Speech): string {
  const say = words.week;
  const { counts, round, adults } = section;
  const kinds = [
    counts.over > 0 ? say.over(counts.over) : '',
    counts.heading_over > 0 ? say.headingOver(counts.heading_over) : '',
    counts.near > 0 ? say.near(counts.near) : '',
  ].filter((part) => part !== '');
  const houses = adults.map(({ house, plants, plants_looked_at: looked }) => say.inHouse(house, format.of(plants, looked)));
  const seen =
    houses.length > 0
      ? say.adults(format.list(houses))
      : section.signs_plants_looked_at > 0
        ? say.noAdults(words.common.plants(section.signs_plants_looked_at))
        : say.signsNotLookedFor;
  const missed = round.blocks === 0 ? say.noPlan : say.missed(round.missed.length, round.blocks);
  return `${[say.lots(overOrNear(section), section.lots, format.list(kinds)), missed, seen].join('; ')}.`;
}

/** What there is to say of the other lots, and how much was looked at. */
export function othersText(section: WeekSection, organism: string, { words, format }: Speech): string {
  const say = words.week;
  const { counts } = section;
  const parts = [
    counts.below > 0 ? say.below(counts.below) : '',
    counts.unsettled > 0 ? say.unsettled(counts.unsettled) : '',
    counts.not_looked_at > 0 ? say.notLookedAt(counts.not_looked_at) : '',
    counts.no_limit > 0 ? say.noLimit(counts.no_limit) : '',
  ].filter((part) => part !== '');
  return [
    parts.length > 0 ? say.others(format.list(parts)) : '',
    section.plants_looked_at > 0 ? say.looked(format.of(section.infested_plants, section.plants_looked_at), organism, words.common.blocks(section.blocks_looked_at)) : '',
  ]
    .filter((sentence) => sentence !== '')
    .join(' ');
}

/** So many blocks of a house are named one by one. */
const mostNamed = 6;

/** "House 3: 3-04, 3-05; House 4: 7 blocks". */
export function placesText(places: readonly WeekPlace[], { words, format }: Speech): string {
  const byHouse = new Map<string, string[]>();
  for (const { house, block } of places) byHouse.set(house, [...(byHouse.get(house) ?? []), block]);
  return [...byHouse]
    .map(([house, blocks]) => words.week.places(house, blocks.length > mostNamed ? words.common.blocks(blocks.length) : format.list(blocks)))
    .join('; ');
}

/** Where a lot stands: its counts, with the limit where that is its own. Figures are marked. */
export function lotAnswer({ answer }: WeekLot, organism: string, ownLimit: boolean, speech: Speech): string {
  const { words, format } = speech;
  const say = words.week;
  const { point, limit } = answer;
  if (!point) return words.trends.answer.noLooks;
  const at = limit && ownLimit ? ` ${limitText(limit, speech)}` : '';
  if (point.infested_plants === 0) {
    const upper = besideLimit(point.upper_percent, limit?.percent, format);
    return words.trends.answer.none(format.week(point.week), words.common.plants(point.plants_looked_at), organism, format.percent(95), upper) + at;
  }
  return say.share(format.week(point.week), format.of(point.infested_plants, point.plants_looked_at), organism, weightedShare(point, speech, limit?.percent)) + at;
}

/** How a lot changed since the look before, with the interval. Figures are marked. */
export function changeText({ change }: WeekLot, { words, format }: Speech): string {
  const say = words.week.change;
  if (!change) return say.first;
  const { points, lower_points: lower, upper_points: upper } = change;
  const decimals = Math.abs(points) < 10 ? 1 : 0;
  const range = `${format.signed(lower, decimals)}\u00a0…\u00a0${format.signed(upper, decimals)}`;
  const week = format.week(change.since_week);
  if (lower > 0) return say.up(week, format.number(points, decimals), range);
  return upper < 0 ? say.down(week, format.number(-points, decimals), range) : say.open(week, format.signed(points, decimals), range);
}

/** The chance of being over the next limit; empty where no forecast is known. */
export function chanceSentence({ over_limit_percent: chance, over_limit_on: on, limits }: WeekLot, speech: Speech): string {
  if (chance === null || on === null) return '';
  const limit = limits.find(({ effect, from_on, to_on }) => effect === 'act' && from_on <= on && on <= to_on);
  return limit ? speech.words.week.chance(chanceText(chance, speech), speech.format.percent(limit.percent), speech.format.date(on)) : '';
}

/** The advice that speaks of a lot, in the order of its houses. */
export function adviceOf(lot: WeekLot, advice: readonly Advice[]): Advice[] {
  return advice.filter(({ cultivar_id, house_id }) => cultivar_id === lot.cultivar_id && lot.houses.includes(house_id));
}

/** What is advised, in a few words, and why. */
export function adviceText(advice: Advice, speech: Speech): { what: string; because: string } {
  const { advice: say, week } = speech.words;
  if (isGone(advice)) return { what: say.goneTag, because: '' };
  const more = morePlants(advice);
  return { what: more === null ? say.code[advice.suggestion.code] : week.lookAtMore(more.plants, more.exactly), because: why(advice, speech) };
}

/** The limit that the answers of all lots are held against; null when they differ or there is none. */
export function sharedLimit(lots: readonly WeekLot[]): TrendLimit | null {
  const [first, ...others] = lots.map(({ answer }) => answer.limit ?? null);
  const same = (a: TrendLimit | null, b: TrendLimit): boolean => a?.percent === b.percent && a.from_on === b.from_on && a.to_on === b.to_on;
  return first && others.every((limit) => same(limit, first)) ? first : null;
}

/** A limit with its days. */
export function limitText(limit: TrendLimit, { words, format }: Speech): string {
  return words.week.limit(format.percent(limit.percent), format.date(limit.from_on), format.date(limit.to_on));
}
