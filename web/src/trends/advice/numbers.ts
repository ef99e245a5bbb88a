import type { Advice, Evidence } from '../../contract.gen';
import type { Format } from '../../words';
import { overText } from '../ahead';
import type { Speech } from '../answers';
import { unmarked } from '../mark';

/** The numbers of one line of evidence as they are written; null where there is none. */
export interface EvidenceNumbers {
  organism: string;
  cultivar: string;
  house: string;
  /** "60 plants": looked at. */
  plants: string | null;
  /** "12 of 60 plants" */
  some: string | null;
  /** "20 % (12–32)" */
  share: string | null;
  /** "20 %", and "the limit of 20 % from 10 to 25 Sep". */
  limit: string | null;
  limited: string | null;
  on: string | null;
  /** "2 of 8": blocks. */
  blocks: string | null;
  ofBlocks: number | null;
  weeks: number | null;
  days: number | null;
  /** Too little to point anywhere: the server leaves the line open. */
  few: boolean;
  /** 40 of 60: late nymphs are counted by notes, not by plants. */
  noted: { some: number; all: number } | null;
  /** The share expected, where it is between nine times in ten, and how likely it is to be over the limit then. */
  expected: string | null;
  range: string | null;
  over: string | null;
  /** What ten infested plants in a hundred become within a week. */
  pace: { next: string; lower: string; upper: string } | null;
}

/** What a percentage becomes when its odds are multiplied. */
export function multiplied(percent: number, oddsRatio: number): number {
  const odds = (percent / (100 - percent)) * oddsRatio;
  return (100 * odds) / (1 + odds);
}

function shareText({ percent, lower_percent: lower, upper_percent: upper }: Evidence, format: Format): string | null {
  if (percent === undefined || percent === null) return null;
  if (lower === undefined || lower === null || upper === undefined || upper === null) return format.percent(percent);
  return format.interval(percent, lower, upper);
}

/** The pace is told from so many plants in a hundred. */
const paceFrom = 10;

/** What the pace makes of ten in a hundred, in whole plants. */
function paceText(growth: Advice['growth'], format: Format): EvidenceNumbers['pace'] {
  const { odds_ratio: ratio, lower, upper } = growth ?? {};
  if (!ratio || !lower || !upper) return null;
  const write = (odds: number): string => format.number(multiplied(paceFrom, odds), 0);
  return { next: write(ratio), lower: write(lower), upper: write(upper) };
}

/** The numbers of a line, with those of the growth and the forecast it speaks of. */
export function numbersOf(line: Evidence, advice: Advice, organism: string, { words, format }: Speech): EvidenceNumbers {
  const looked = line.plants_looked_at ?? 0;
  const counted = looked > 0;
  const share = shareText(line, format);
  const ofBlocks = line.of_blocks ?? 0;
  const forecast = line.code === 'forecast' && advice.forecast?.code === 'known' ? advice.forecast : undefined;
  const ahead = forecast?.points?.at(-1);
  const chance = forecast?.over_limit_percent ?? null;
  const limit = line.limit_percent ?? (line.code === 'forecast' ? forecast?.limit?.percent : undefined) ?? null;
  const judged = line.code === 'limit' ? advice.answer?.limit : undefined;
  const limited = limit === null ? null : judged ? words.advice.limit(format.percent(limit), judged.from_on, judged.to_on) : words.advice.limitOf(format.percent(limit));
  const on = line.on ?? ahead?.on ?? null;
  const of = format.of(line.infested_plants ?? 0, looked);
  const weeks = line.weeks ?? 0;
  return {
    organism,
    cultivar: advice.cultivar,
    house: advice.house,
    plants: counted ? words.common.plants(looked) : null,
    some: counted ? `${of} ${words.advice.plantsOf(looked)}` : null,
    share,
    limit: limit === null ? null : format.percent(limit),
    limited,
    on: on === null ? null : format.date(on),
    blocks: ofBlocks > 0 ? format.of(line.blocks ?? 0, ofBlocks) : null,
    ofBlocks: ofBlocks > 0 ? ofBlocks : null,
    weeks: weeks > 0 ? weeks : null,
    days: line.days ?? null,
    few: line.direction === 'open',
    noted: counted ? { some: line.infested_plants ?? 0, all: looked } : null,
    expected: ahead ? format.percent(ahead.percent) : line.code === 'forecast' && typeof line.percent === 'number' ? format.percent(line.percent) : null,
    range: ahead ? `${format.bounds(ahead.percent, ahead.lower_90_percent, ahead.upper_90_percent)}\u00a0%` : null,
    over: chance === null || limited === null ? null : unmarked(overText(limited, chance, { words, format })),
    pace: line.code === 'growth' ? paceText(advice.growth, format) : null,
  };
}
