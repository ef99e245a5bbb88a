import type { Advice, DecisionFigures } from '../../contract.gen';
import { chanceText } from '../ahead';
import type { Speech } from '../answers';

/** The figures of a sheet, to be kept with a decision made on them. */
export function figuresOf({ answer, evidence, forecast, suggestion }: Advice): DecisionFigures {
  const { point, limit } = answer ?? {};
  const chance = forecast?.over_limit_percent ?? null;
  const judged = evidence.find(({ code, on }) => code === 'limit' && on !== undefined)?.on;
  return {
    ...(point && {
      week: point.week,
      infested_plants: point.infested_plants,
      plants_looked_at: point.plants_looked_at,
      percent: point.infested_percent,
      lower_percent: point.lower_percent,
      upper_percent: point.upper_percent,
    }),
    ...(limit && { limit_percent: limit.percent, limit_on: judged ?? limit.from_on }),
    ...(chance !== null && { over_limit_percent: chance }),
    suggested: suggestion.code,
  };
}

/** Figures in words: "W38: 12 of 60 · 20 % (12–32); limit 20 % on 15 Sep; chance of being over it 70 %". */
export function figuresText(figures: DecisionFigures | undefined, { words, format }: Speech): string {
  const say = words.advice;
  const looked = figures?.plants_looked_at ?? 0;
  if (!figures || looked === 0) return say.noFigures;
  const infested = figures.infested_plants ?? 0;
  const percent = figures.percent ?? (100 * infested) / looked;
  const bounded = typeof figures.lower_percent === 'number' && typeof figures.upper_percent === 'number';
  const share = `${format.of(infested, looked)} · ${
    bounded ? format.interval(percent, figures.lower_percent ?? 0, figures.upper_percent ?? 0) : format.percent(percent)
  }`;
  const limit = figures.limit_percent ?? null;
  const chance = figures.over_limit_percent ?? null;
  return [
    say.figureShare(share, figures.week ? format.week(figures.week) : ''),
    ...(limit === null ? [] : [say.figureLimit(format.percent(limit), figures.limit_on ? format.date(figures.limit_on) : '')]),
    ...(chance === null ? [] : [say.figureChance(chanceText(chance, { words, format }))]),
  ].join('; ');
}

/** What was suggested then, in words; null when that is not known. */
export function suggestedText(figures: DecisionFigures | undefined, { words }: Speech): string | null {
  const table: Readonly<Record<string, string>> = words.advice.code;
  const code = figures?.suggested ?? '';
  return Object.hasOwn(table, code) ? (table[code] ?? null) : null;
}
