import { describe, expect, it } from 'vitest';

import type { Forecast, Growth, TrendBy, TrendGroup, TrendLimit, TrendPoint } from '../../src/contract.gen';
import { aheadAnswer, chanceText, changeText, courseOf, doublingTime, forecastAnswer, growthAnswer, likelihood, paceText, weeksAhead } from '../../src/trends/ahead';
import { unmarked } from '../../src/trends/mark';
import { countsLike } from '../../src/trends/numbers';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';

const english = { words: en, format: formatIn('en') };
const spanish = { words: es, format: formatIn('es') };
const plain = (text: string): string => unmarked(text).replaceAll('\u00a0', ' ');

const limit: TrendLimit = { threshold_id: 't', from_on: '2026-09-10', to_on: '2026-09-15', percent: 20, effect: 'act' };

function point(infested: number, week = '2026-W36', more: Partial<TrendPoint> = {}): TrendPoint {
  return {
    week,
    starts_on: '2026-08-31',
    looks: 4,
    blocks: 4,
    plants_looked_at: 60,
    infested_plants: infested,
    infested_percent: (100 * infested) / 60,
    lower_percent: 0,
    upper_percent: 100,
    looks_in_doubt: 0,
    ...more,
  };
}

function group(more: Partial<TrendGroup> = {}, infested = 12): TrendGroup {
  const at = point(infested);
  return { key: 'k', label: 'Frostveil', lots: 1, points: [at], limits: [], answer: { code: 'no_limit', point: at }, ...more };
}

const known = (odds_ratio: number, lower: number, upper: number): Growth => ({ code: 'known', weeks: 5, plants_looked_at: 300, odds_ratio, lower, upper });
const grows = (growth: Growth, infested = 12, speech = english): string => plain(growthAnswer(group({ growth }, infested), speech));

const ahead = (on: string, percent: number, low: number, high: number) => ({
  on,
  percent,
  lower_50_percent: (percent + low) / 2,
  upper_50_percent: (percent + high) / 2,
  lower_90_percent: low,
  upper_90_percent: high,
});
const forecast = (more: Partial<Forecast> = {}): Forecast => ({
  code: 'known',
  weeks: 5,
  plants_looked_at: 300,
  points: [ahead('2026-09-03', 20, 15, 26), ahead('2026-09-15', 34, 21, 50)],
  limit,
  over_limit_percent: 91,
  ...more,
});

describe('growth in words', () => {
  it('says which way it goes, how fast, and how sure that is', () => {
    expect(grows(known(1.4, 1.15, 1.8))).toBe('It has been growing: it goes up by about a third a week, doubling in about 3 weeks.');
    expect(grows(known(0.8, 0.7, 0.88))).toBe('It has been shrinking: it goes down by about a fifth a week, halving in about 4 weeks.');
    expect(grows(known(1.4, 1.15, 1.8), 12, spanish)).toBe('Ha ido creciendo: sube más o menos un tercio por semana, y se duplica en más o menos 3 semanas.');
    expect(grows(known(0.8, 0.7, 0.88), 12, spanish)).toContain('baja más o menos una quinta parte por semana, y se reduce a la mitad en más o menos 4 semanas');
  });

  it('takes no side while the interval holds both', () => {
    expect(grows(known(1.2, 0.8, 1.7))).toBe('Whether it grows or shrinks cannot be told yet.');
    expect(grows(known(1.2, 0.8, 1.7), 12, spanish)).toBe('Aún no se sabe si crece o baja.');
    expect(courseOf({ times: 1, lower: 0.95, upper: 1.06 })).toBe('steady');
    // sure is sure, however small: the evidence calls the same growth rising
    expect(grows(known(1.05, 1.02, 1.08))).toMatch(/^It has been growing: it goes up by less than a tenth a week/);
    expect(courseOf({ times: 0.95, lower: 0.92, upper: 0.98 })).toBe('shrinking');
    expect(grows(known(1, 0.95, 1.06))).toContain('It has hardly changed');
    expect(grows(known(1, 0.95, 1.06), 12, spanish)).toContain('Apenas ha cambiado');
  });

  it('tells the pace from ten in a hundred where none was found in the latest week', () => {
    const none = group({ growth: known(0.8, 0.7, 0.88), points: [point(12, '2026-W35'), point(0)] });
    expect(plain(growthAnswer({ ...none, answer: { code: 'below', point: point(0) } }, english))).toMatch(/^It has been shrinking: it goes down by about a fifth a week, halving in about 3 weeks\.$/);
  });

  it('calls nothing a doubling where a share is too high to double', () => {
    expect(grows(known(1.4, 1.15, 1.8), 40)).toBe('It has been growing: it goes up by about a tenth a week.');
  });

  it('counts a doubling in days where weeks are too coarse', () => {
    // Of few plants in a hundred, 1.7 times a week doubles in ln 2 / ln 1.7 = 1.31 weeks, 9.1 days; 2 times in a week; 1.05 times in 14.2 weeks.
    expect(doublingTime(1.7, 0.01)).toEqual({ unit: 'day', n: 9 });
    expect(doublingTime(2, 0.01)).toEqual({ unit: 'week', n: 1 });
    expect(doublingTime(1.05, 0.01)).toEqual({ unit: 'week', n: 14 });
    expect(doublingTime(0.5, 0.01)).toEqual({ unit: 'week', n: 1 });
    // 20 in 100 are odds of 1 to 4, 40 in 100 of 2 to 3: 8/3 times, which 2 times a week makes in 1.42 weeks. 10 in 100 are odds of 1 to 9: 4/9 of 1 to 4, in 1.17 weeks.
    expect(doublingTime(2, 20)).toEqual({ unit: 'day', n: 10 });
    expect(doublingTime(0.5, 20)).toEqual({ unit: 'week', n: 1 });
    expect(grows(known(0.5, 0.4, 0.6))).toMatch(/halving in about a week\.$/);
    expect(grows(known(0.5, 0.4, 0.6), 12, spanish)).toMatch(/en más o menos una semana\.$/);
    expect(grows(known(2, 1.5, 2.6))).toMatch(/it goes up by about two thirds a week, doubling in about 10 days\.$/);
  });

  it('says by how much of itself it changes, and beyond that how many times as much it becomes', () => {
    const said = [4, 11, 20, 24, 33, 50, 68, 80].map((more) => plain(changeText(10, 10 + more / 10, english)));
    expect(said.map((text) => /by (.+) a week/.exec(text)?.[1])).toEqual([
      'less than a tenth',
      'about a tenth',
      'about a fifth',
      'about a quarter',
      'about a third',
      'about a half',
      'about two thirds',
      'about three quarters',
    ]);
    expect(changeText(10, 23.4, english)).toBe('it becomes about 2.3 times as much in a week');
    expect(changeText(10, 23.4, spanish)).toBe('en una semana se multiplica más o menos por 2,3');
    expect(changeText(10, 1, english)).toBe('it goes down by more than four fifths a week');
    expect(grows(known(3, 2, 4), 3)).toBe('It has been growing: it becomes about 2.7 times as much in a week.'); // 5 in 100 are odds of 1 to 19, three times that 13.6 in 100
  });

  it('keeps the pace with its range for who wants to know', () => {
    const pace = (growth: Growth, infested = 12, speech = english): string => plain(paceText(group({ growth }, infested), speech));
    expect(pace(known(1.4, 1.15, 1.8))).toBe('At this pace 20 % become about 26 % in a week (22–31).');
    expect(pace(known(1.4, 1.15, 1.8), 12, spanish)).toBe('A este ritmo, un 20 % pasa a ser un 26 %, más o menos, en una semana (22–31).');
    expect(pace(known(0.8, 0.7, 0.88), 0)).toMatch(/^At this pace 10 % become about 8/);
    expect(pace({ code: 'cannot_say', weeks: 1, plants_looked_at: 20 })).toBe('');
  });

  it('is left out where none was ever found, where it is not known, and from older answers', () => {
    expect(grows(known(1, 0.5, 2), 0)).toBe('');
    expect(grows({ code: 'cannot_say', weeks: 1, plants_looked_at: 20 })).toBe('');
    expect(grows({ code: 'known', weeks: 3, plants_looked_at: 90, odds_ratio: null })).toBe('');
    expect(growthAnswer(group(), english)).toBe('');
  });
});

describe('the forecast in words', () => {
  const said = (more: Partial<Forecast> = {}, speech = english): string => plain(forecastAnswer(group({ forecast: forecast(more) }), speech));

  it('gives the day, the share with its band, and the chance to be over the limit then', () => {
    expect(said()).toBe('On 15 Sep it may be at 34 % (most likely between 21 and 50 %); it is likely (about 91 in 100) that it is over 20 % then.');
    expect(said({ over_limit_percent: 88 })).toContain('it is likely (about 9 in 10) that');
    expect(said({ over_limit_percent: 88 }, spanish)).toMatch(/^El 15 sept? puede estar en el 34 % \(lo más probable, entre el 21 y el 50 %\); es probable \(unas 9 de cada 10\) que entonces pase del 20 %\.$/);
  });

  it('says why that day, where a limit begins on it', () => {
    const next = { limit: { ...limit, from_on: '2026-09-15', to_on: '2026-09-25' } };
    expect(said(next)).toMatch(/^On 15 Sep, when the next limit begins, it may be at 34 %/);
    expect(said(next, spanish)).toMatch(/^El 15 sept?, cuando empieza el próximo límite, puede estar/);
  });

  it('gives no chance without a limit, and one where the chance is nothing', () => {
    expect(said({ limit: null, over_limit_percent: null })).toBe('On 15 Sep it may be at 34 % (most likely between 21 and 50 %).');
    expect(said({ over_limit_percent: 0 })).toContain('; it is very unlikely (less than 1 in 100) that it is over 20 % then.');
    expect(said({ over_limit_percent: 0 }, spanish)).toContain('; es muy improbable (menos de 1 de cada 100) que entonces pase del 20 %.');
  });

  it('is left out where there is none', () => {
    expect(said({ points: [] })).toBe('');
    expect(said({ code: 'cannot_say' })).toBe('');
    expect(forecastAnswer(group(), english)).toBe('');
  });

  it('puts a chance into a word that goes with its count', () => {
    expect([0.9, 1, 34, 36, 64, 66, 99, 99.1].map(likelihood)).toEqual(['hardly', 'unlikely', 'unlikely', 'even', 'even', 'likely', 'likely', 'almost']);
    expect(said({ over_limit_percent: 51 })).toContain('the chances are about even (about 5 in 10) that it is over 20 % then.');
    expect(said({ over_limit_percent: 9 })).toContain('it is unlikely (about 9 in 100) that it is over 20 % then.');
    expect(said({ over_limit_percent: 51 }, spanish)).toContain('es tan probable como no (unas 5 de cada 10) que entonces pase del 20 %.');
  });

  it('counts chances as people do', () => {
    const chance = (percent: number): string => plain(chanceText(percent, english));
    expect([0, 0.9, 1, 4, 9.6, 50, 88, 95, 99, 99.5, 100].map(chance)).toEqual([
      'less than 1 in 100',
      'less than 1 in 100',
      'about 1 in 100',
      'about 4 in 100',
      'about 1 in 10',
      'about 5 in 10',
      'about 9 in 10',
      'about 95 in 100',
      'about 99 in 100',
      'more than 99 in 100',
      'more than 99 in 100',
    ]);
    expect(plain(chanceText(10, spanish))).toBe('alrededor de 1 de cada 10');
    expect(plain(chanceText(99.9, spanish))).toBe('más de 99 de cada 100');
  });
});

describe('growth and forecast together', () => {
  const thin = { code: 'cannot_say', weeks: 2, plants_looked_at: 40 } as const;
  const said = (more: Partial<TrendGroup>, speech = english, by: TrendBy = 'lot'): string => plain(aheadAnswer(group(more), by, speech));

  it('say that the data are too thin, once', () => {
    expect(said({ growth: thin, forecast: thin })).toBe('For this lot alone, 40 plants looked at in 2 weeks do not yet show where it goes.');
    expect(said({ growth: thin, forecast: thin }, spanish)).toBe('Solo en este lote, 40 plantas revisadas en 2 semanas aún no muestran adónde va.');
    const one = { ...thin, weeks: 1, plants_looked_at: 1 };
    expect(said({ growth: one, forecast: one })).toContain('1 plant looked at in 1 week does not yet show');
    expect(said({ growth: one, forecast: one }, spanish)).toContain('1 planta revisada en 1 semana aún no muestra adónde va');
    expect(said({ growth: thin, forecast: thin }, english, 'cultivar')).toBe('40 plants looked at in 2 weeks do not yet show where it goes.');
  });

  it('say what is known beside what is not', () => {
    expect(said({ growth: known(1.4, 1.15, 1.8), forecast: thin })).toMatch(/^It has been growing.*For this lot alone, .* do not yet show where it goes\.$/);
    expect(said({ growth: thin, forecast: forecast() })).toMatch(/^On 15 Sep.*For this lot alone, 40 plants looked at in 2 weeks do not yet show whether it grows\.$/);
  });

  it('say nothing where nobody looked, and nothing of older answers', () => {
    const none = { ...thin, weeks: 0, plants_looked_at: 0 };
    expect(said({ growth: none, forecast: none, points: [] })).toBe('');
    expect(said({})).toBe('');
  });
});

describe('the numbers', () => {
  it('list only the forecast weeks after the latest look', () => {
    expect(weeksAhead(group({ forecast: forecast() })).map(({ on }) => on)).toEqual(['2026-09-15']);
    expect(weeksAhead(group())).toEqual([]);
  });

  it('say as how many plants drawn one by one those of a few blocks count', () => {
    expect(countsLike(point(3, '2026-W36', { design_effect: 2.4 }))).toBe(25);
    expect(countsLike(point(3, '2026-W36', { design_effect: 100 }))).toBe(1);
    expect(countsLike(point(3))).toBeNull();
    expect(countsLike(point(3, '2026-W36', { design_effect: 0 }))).toBeNull();
  });
});
