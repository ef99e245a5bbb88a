import type { DegreeDaysSum, DifferenceSum, ProportionSum, SampleSizeSum, StopLine, StopLinesSum } from '../contract.gen';
import type { Format, Words } from '../words';
import type { Texts } from './state';

/** The words and ways of writing of one language. */
export interface Speech {
  words: Words;
  format: Format;
}

const nbsp = '\u00a0';

/** A percentage as somebody typed it: 12.5 stays 12.5, which a measured one would not. */
function typed(format: Format, percent: number): string {
  return `${format.number(percent, 4)}${nbsp}%`;
}

/** How many plants to look at, or why no number will do. */
export function sampleSizeAnswer(sum: SampleSizeSum, { words: { sums }, format }: Speech): string {
  const { say } = sums;
  const lot = format.count(sum.lot_size);
  const level = typed(format, sum.detection_percent);
  const confidence = typed(format, sum.confidence_percent);
  const sensitivity = typed(format, sum.sensitivity_percent);
  if (sum.plants === null) {
    if (sum.reason === 'no_infested_unit') return say.noInfested(level, lot);
    if (sum.reason === 'sensitivity_too_low') return say.overlooked(lot, confidence, sensitivity);
    return say.noSample(sum.reason ?? '');
  }
  const look = sum.plants === sum.lot_size ? say.lookAtAll(lot, level, confidence) : say.lookAt(format.of(sum.plants, sum.lot_size), level, confidence);
  return sum.sensitivity_percent < 100 ? `${look} ${say.recognising(sensitivity)}` : look;
}

/** The share with its interval; with no find, what is ruled out. */
export function proportionAnswer(sum: ProportionSum, { words: { sums }, format }: Speech): string {
  const counts = format.of(sum.infested, sum.examined);
  if (sum.infested === 0 && typeof sum.rules_out_percent === 'number') {
    return sums.say.none(counts, typed(format, sum.confidence_percent), format.percent(sum.rules_out_percent));
  }
  return sums.say.share(counts, format.interval(sum.infested_percent, sum.lower_percent, sum.upper_percent));
}

/** The difference of two shares in percentage points, and whether none at all is among the possible ones. */
export function differenceAnswer(sum: DifferenceSum, { words: { sums }, format }: Speech): string {
  const share = (infested: number, examined: number): string => `${format.of(infested, examined)} (${format.percent((100 * infested) / examined)})`;
  const { say } = sums;
  const found = say.difference(
    share(sum.infested_a, sum.examined_a),
    share(sum.infested_b, sum.examined_b),
    format.signed(sum.difference_percent),
    format.signed(sum.lower_percent),
    format.signed(sum.upper_percent),
    typed(format, sum.confidence_percent),
  );
  return `${found} ${sum.lower_percent <= 0 && sum.upper_percent >= 0 ? say.perhapsNone : say.hardlyChance}`;
}

/** When one may stop at the earliest on either side, when at the latest, and how often that goes wrong. */
export function stopLinesAnswer(sum: StopLinesSum, { words: { sums }, format }: Speech): string {
  const { say } = sums;
  const said = [say.oneByOne];
  const below = sum.lines.find(({ below_if_at_most: most }) => most !== null);
  const above = sum.lines.find(({ above_if_at_least: least }) => least !== null);
  if (above?.above_if_at_least != null) said.push(say.above(above.plants, format.count(above.above_if_at_least)));
  if (below?.below_if_at_most != null) said.push(say.below(below.plants, below.below_if_at_most));
  said.push(say.decided(sum.maximum));
  const acceptable = sum.operating.find(({ percent }) => percent === sum.acceptable_percent);
  const action = sum.operating.find(({ percent }) => percent === sum.action_percent);
  if (acceptable && action) {
    said.push(
      say.wrong(
        typed(format, acceptable.percent),
        format.percent(100 - 100 * acceptable.probability_below),
        typed(format, action.percent),
        format.percent(100 * action.probability_below),
      ),
    );
  }
  return said.join(' ');
}

/** The degree-days of the day that was asked about. */
export function degreeDaysAnswer(sum: DegreeDaysSum, asked: Texts, { words: { sums }, format }: Speech): string {
  const unit = `°${sum.unit}`;
  const degrees = (name: string): string => format.number(Number(asked[name] ?? ''), 2).replace('-', '\u2212');
  const { say } = sums;
  const day = say.degreeDays(degrees('minimum'), `${degrees('maximum')}${nbsp}${unit}`, format.number(sum.degree_days, 2), unit, `${degrees('lower')}${nbsp}${unit}`);
  return (asked.upper ?? '') === '' ? day : `${day} ${say.cutOff(`${degrees('upper')}${nbsp}${unit}`)}`;
}

/** The lines without the plants at which nothing changes; the last always stands. */
export function changes(lines: readonly StopLine[]): StopLine[] {
  return lines.filter((line, i) => {
    const before = lines[i - 1];
    if (i === lines.length - 1) return true;
    return line.below_if_at_most !== (before?.below_if_at_most ?? null) || line.above_if_at_least !== (before?.above_if_at_least ?? null);
  });
}
