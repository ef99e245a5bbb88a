import type { TrendBy, TrendGroup, Trends } from '../contract.gen';
import { mondayOf, weekOf, weeksBetween } from '../local/zone';
import type { Format, Words } from '../words';
import { isNamed, standingOf, summarise } from './order';
import { besideLimit, weightedShare } from './share';

/** A language: its strings and its ways of writing numbers. */
export interface Speech {
  words: Words;
  format: Format;
}

const isoDate = /\b\d{4}-\d\d-\d\d\b/g;

function member<T extends string>(table: Record<T, string>, key: string): string | undefined {
  return Object.hasOwn(table, key) ? table[key as T] : undefined;
}

/** The text as the beginning of a sentence. */
export function atStart(text: string): string {
  return text.charAt(0).toLocaleUpperCase() + text.slice(1);
}

/** The group of the lots whose plants came with several arrivals. */
const mixedKey = 'mixed';

/** What came in a week: "Arrived in W31", also of mixed lots, by the first of their arrivals. */
export function arrivalName(key: string, { words, format }: Speech): string {
  const { arrivedIn, mixedFrom } = words.trends;
  const mixed = key.startsWith(`${mixedKey} `);
  const week = mixed ? key.slice(mixedKey.length + 1) : key;
  return (mixed ? mixedFrom : arrivedIn)(format.week(week), format.date(mondayOf(week)));
}

/** What a group is called: dates and fixed words in the reader's language, and what is not known by that name. */
export function groupName({ key, label }: Pick<TrendGroup, 'key' | 'label'>, by: TrendBy, { words, format }: Speech): string {
  const { trends, common } = words;
  if (key === '') return trends.unknown[by];
  if (key === mixedKey) return trends.mixed;
  switch (by) {
    case 'farm':
      return key === 'several' ? trends.severalFarms(label) : label;
    case 'arrival':
      return trends.arrivedOn(format.fullDate(key));
    case 'arrival_week':
      return arrivalName(key, { words, format });
    case 'shipped':
      return trends.leftOn(format.fullDate(key));
    case 'form':
      return atStart(member(common.form, key) ?? label);
    case 'foliage': {
      const tone = member(common.foliage, key);
      return atStart(tone === undefined ? label : trends.foliage(tone));
    }
    case 'bract': {
      const colour = member(common.bract, key);
      return atStart(colour === undefined ? label : trends.bract(colour));
    }
    default:
      return label;
  }
}

/** The line under the name: what else the group is, in the reader's words. */
export function groupNote(group: TrendGroup, by: TrendBy, { words, format }: Speech): string {
  const tone = member(words.common.foliage, group.foliage ?? '');
  const lots = by === 'lot' || group.lots === 0 ? '' : words.trends.lots(group.lots);
  return [
    (group.sub_label ?? '').replace(isoDate, (date) => format.date(date)),
    tone === undefined || by === 'foliage' ? '' : words.trends.foliage(tone),
    lots,
  ]
    .filter((part) => part !== '')
    .join(' · ');
}

/** Weeks between the week of a group's latest look and today; 0 when it is of this week. */
export function weeksSince(week: string, today: string | undefined): number {
  return today === undefined ? 0 : Math.max(0, weeksBetween(week, weekOf(today)).length - 1);
}

/** A group is asked for so many more plants at most; beyond that the houses of it are. */
const mostAskedFor = 100;

/** How many more plants of a group to look at; null where no number settles it, or none that anybody would look at. */
function askedFor({ answer: { more_plants: more, point } }: TrendGroup): number | null {
  const left = point?.standing_plants ? point.standing_plants - point.plants_looked_at : mostAskedFor;
  return more && more <= Math.min(mostAskedFor, left) ? more : null;
}

/** Where one group stands, as a sentence. Figures are marked (`mark`). With `inHouses`, what to look at is said house by house. */
export function groupAnswer(group: TrendGroup, trends: Trends, organism: string, speech: Speech, inHouses = false): string {
  const { words, format } = speech;
  const say = words.trends.answer;
  const { limit } = group.answer;
  const code = standingOf(group.answer);
  const more = inHouses ? null : askedFor(group);
  const point = group.answer.point ?? group.points.at(-1);
  if (code === 'no_looks' || !point) return say.noLooks;
  const since = trends.as_of === undefined ? null : weeksSince(point.week, trends.as_of);
  const { blocks, standing_blocks: standing = 0 } = point;
  const begun = since === 0 && 2 * blocks < standing; // the first block of a Monday is not the whole group
  const week = begun ? `${format.week(point.week)} (${say.soFar(format.of(blocks, standing))})` : format.week(point.week);
  const share =
    point.infested_plants === 0
      ? say.none(week, words.common.plants(point.plants_looked_at), organism, format.percent(trends.confidence_percent), besideLimit(point.upper_percent, limit?.percent, format))
      : say.some(week, format.of(point.infested_plants, point.plants_looked_at), organism, weightedShare(point, speech, limit?.percent));
  const sentences = [share, ...(since !== null && since > 1 ? [say.stale(since)] : [])];
  if (!limit || code === 'no_limit') return [...sentences, say.noLimit].join(' ');
  const at = [format.percent(limit.percent), limit.from_on, limit.to_on] as const;
  switch (code) {
    case 'above':
      sentences.push(say.above(...at));
      break;
    case 'below':
      sentences.push(say.below(...at));
      break;
    case 'too_close':
      sentences.push(say.tooClose(...at, more));
      break;
    case 'too_few':
      sentences.push(say.tooFew(...at, more));
      break;
  }
  return sentences.join(' ');
}

/** Where the groups of the page stand together, as a sentence. Figures are marked (`mark`). */
export function pageAnswer({ by, groups }: Trends, organism: string, speech: Speech): string {
  const { words, format } = speech;
  const say = words.trends.answer;
  const { total, counts, found, limit } = summarise(groups);
  const named = words.trends.groups[by](total);
  const judged = counts.above + counts.too_close + counts.too_few + counts.below;
  const sentences: string[] = [];
  if (judged === 0) {
    if (total > 0) sentences.push(say.noLimits(named, organism, found));
  } else {
    const rest = (['too_close', 'too_few', 'below', 'no_limit', 'no_looks'] as const)
      .filter((code) => counts[code] > 0)
      .map((code) => say.rest[code](counts[code]));
    const over = limit ? format.percent(limit.percent) : say.itsLimit(counts.above);
    sentences.push(say.page(counts.above, named, over, format.list(rest)));
    if (limit) sentences.push(say.limit(format.percent(limit.percent), limit.from_on, limit.to_on));
  }
  for (const group of groups) {
    const code = standingOf(group.answer);
    if (!isNamed(group) && (code === 'above' || code === 'too_close')) {
      sentences.push(say.unnamed(groupName(group, by, speech), words.trends.standing[code]));
    }
  }
  return sentences.join(' ');
}
