import type { Rate, ReviewBy, ReviewFigures, ReviewGroup, SeasonReview, TrendPoint } from '../contract.gen';
import type { Words } from '../words/dictionaries';
import type { Format } from '../words/format';
import type { Order } from './state';

export interface Speech {
  words: Words;
  format: Format;
}

/** What a group is called. */
export function groupName({ key, label }: Pick<ReviewGroup, 'key' | 'label'>, by: ReviewBy, { words, format }: Speech): string {
  const say = words.season;
  if (key === 'mixed') return say.mixed;
  if (key === 'several') return say.several;
  if (key === '') return say.unknown[by];
  return by === 'arrival' ? format.fullDate(label) : label;
}

/** "12 of 31 · 39 % (24–56)"; empty where nothing was counted. */
export function rateText({ count, of, percent, lower_percent: lower, upper_percent: upper }: Rate, { format }: Pick<Speech, 'format'>): string {
  if (of === 0 || percent === undefined || lower === undefined || upper === undefined) return '';
  return `${format.of(count, of)} · ${format.interval(percent, lower, upper)}`;
}

/** "W37: 105 of 493 · 21 % (18–25)" */
export function peakText(peak: TrendPoint, { words, format }: Speech): string {
  return words.season.peak(format.week(peak.week), format.share(peak));
}

/** "1 claim, 40 plants", "1 of 1 answered", "35.50 USD" */
export function claimsText({ claims }: ReviewFigures, { words, format }: Speech): string[] {
  const say = words.season;
  if (claims.claims === 0) return [say.noClaims];
  return [
    say.claims(claims.claims, words.common.plants(claims.plants)),
    say.answered(format.of(claims.answered, claims.claims)),
    ...claims.granted.map(({ amount, currency }) => `${amount}\u00a0${currency}`),
    ...(claims.shared > 0 ? [say.shared(claims.shared)] : []),
  ];
}

/** "3 of 9 with a limit", "looked at in 11" */
export function overText({ weeks_over: over, weeks_judged: judged, weeks_looked: looked }: ReviewFigures, { words, format }: Speech): string[] {
  const say = words.season;
  return [judged > 0 ? say.over(format.of(over, judged)) : say.noLimit, ...(looked === judged ? [] : [say.lookedAt(looked)])];
}

/** What a group is sorted by, the highest first; null stands last. */
function keyOf({ now }: ReviewGroup, order: Order): number | null {
  switch (order) {
    case 'peak':
      return now.peak?.lower_percent ?? null;
    case 'loss':
      return now.loss.of > 0 ? (now.loss.lower_percent ?? null) : null;
    case 'over':
      return now.weeks_judged > 0 ? now.weeks_over : null;
    case 'claims':
      return now.claims.plants;
    case 'name':
      return 0;
  }
}

/** The groups in an order; what it leaves open stays by name, as they come. */
export function inOrder(groups: readonly ReviewGroup[], order: Order): ReviewGroup[] {
  return groups.toSorted((a, b) => {
    const [x, y] = [keyOf(a, order), keyOf(b, order)];
    if (x === null || y === null) return Number(x === null) - Number(y === null);
    return y - x;
  });
}

/** How the season went, as sentences. Figures are marked. */
export function reviewAnswer(review: SeasonReview, speech: Speech): string {
  const { words, format } = speech;
  const say = words.season.answer;
  const { whole, groups, season_year: year = 0, last_season_year: lastYear = 0 } = review;
  const { now, last } = whole;
  const name = (group: ReviewGroup): string => groupName(group, review.by, speech);
  const named = groups.filter(({ key }) => key !== '');
  const peak = inOrder(named, 'peak')[0];
  const loss = inOrder(named, 'loss')[0];
  const lostMost = loss ? rateText(loss.now.loss, speech) : '';
  const before = !last ? say.noLast : last.peak ? say.wholeLast(lastYear, format.week(last.peak.week), format.share(last.peak)) : say.lastUnseen(lastYear);
  const overLast = last && last.weeks_judged > 0 ? say.overLast(lastYear, format.of(last.weeks_over, last.weeks_judged)) : '.';
  return [
    (now.peak ? say.whole(year, format.week(now.peak.week), format.share(now.peak)) : say.noPeak(year)) + before,
    ...(now.weeks_judged > 0 ? [say.over(format.of(now.weeks_over, now.weeks_judged)) + overLast] : []),
    ...(peak?.now.peak && named.length > 1 ? [say.peak(name(peak), format.week(peak.now.peak.week), format.share(peak.now.peak))] : []),
    ...(loss && lostMost !== '' && named.length > 1 ? [say.loss(name(loss), lostMost)] : []),
    ...(now.claims.claims > 0
      ? [
          say.claims(
            now.claims.claims,
            words.common.plants(now.claims.plants),
            format.of(now.claims.answered, now.claims.claims),
            format.list(now.claims.granted.map(({ amount, currency }) => `${amount}\u00a0${currency}`)),
          ),
        ]
      : []),
  ].join(' ');
}
