import { describe, expect, it } from 'vitest';

import type { Forecast, Growth, TrendGroup, TrendLimit, TrendPoint } from '../../src/contract.gen';
import { aheadAnswer, chanceText, courseOf, doublingTime, forecastAnswer, growthAnswer, weeksAhead } from '../../src/trends/ahead';
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
    expect(grows(known(1.4, 1.15, 1.8))).toBe('It has been growing: at this pace 20 % become about 26 % in a week (22–31), doubling about every 2 weeks.');
    expect(grows(known(0.8, 0.7, 0.88))).toBe('It has been shrinking: at this pace 20 % become about 17 % in a week (15–18), halving about every 3 weeks.');
    expect(grows(known(1.4, 1.15, 1.8), 12, spanish)).toBe('Ha ido creciendo: a este ritmo, un 20 % pasa a ser un 26 %, más o menos, en una semana (22–31), y se duplica más o menos cada 2 semanas.');
    expect(grows(known(0.8, 0.7, 0.88), 12, spanish)).toContain('se reduce a la mitad más o menos cada 3 semanas');
  });

  it('takes no side while the interval holds both', () => {
    expect(grows(known(1.2, 0.8, 1.7))).toBe('Growing or shrinking cannot be told yet: at this pace 20 % become about 23 % in a week (17–30).');
    expect(grows(known(1.2, 0.8, 1.7), 12, spanish)).toBe('Aún no se sabe si crece o baja: a este ritmo, un 20 % pasa a ser un 23 %, más o menos, en una semana (17–30).');
    expect(courseOf({ times: 1, lower: 0.95, upper: 1.06 })).toBe('steady');
    // sure is sure, however small: the evidence calls the same growth rising
    expect(grows(known(1.05, 1.02, 1.08))).toMatch(/^It has been growing: .* about 21\s%/);
    expect(courseOf({ times: 0.95, lower: 0.92, upper: 0.98 })).toBe('shrinking');
    expect(grows(known(1, 0.95, 1.06))).toContain('It has hardly changed');
    expect(grows(known(1, 0.95, 1.06), 12, spanish)).toContain('Apenas ha cambiado');
  });

  it('tells the pace from ten in a hundred where none was found in the latest week', () => {
    const none = group({ growth: known(0.8, 0.7, 0.88), points: [point(12, '2026-W35'), point(0)] });
    expect(plain(growthAnswer({ ...none, answer: { code: 'below', point: point(0) } }, english))).toMatch(/at this pace 10 % become about 8/);
  });

  it('calls nothing a doubling where a share is too high to double', () => {
    expect(grows(known(1.4, 1.15, 1.8), 40)).toBe('It has been growing: at this pace 67 % become about 74 % in a week (70–78).');
  });

  it('counts a doubling in days where weeks are too coarse', () => {
    // 1.7 times a week doubles in ln 2 / ln 1.7 = 1.31 weeks, 9.1 days; 2 times in a week; 1.05 times in 14.2 weeks
    expect(doublingTime(1.7)).toEqual({ unit: 'day', n: 9 });
    expect(doublingTime(2)).toEqual({ unit: 'week', n: 1 });
    expect(doublingTime(1.05)).toEqual({ unit: 'week', n: 14 });
    expect(doublingTime(0.5)).toEqual({ unit: 'week', n: 1 });
    expect(grows(known(2, 1.5, 2.6))).toMatch(/doubling about every week\.$/);
    expect(grows(known(2, 1.5, 2.6), 12, spanish)).toMatch(/cada semana\.$/);
    expect(grows(known(1.7, 1.5, 2.6))).toMatch(/doubling about every 9 days\.$/);
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
    expect(said()).toBe('On 15 Sep it may be at 34 % (9 times in 10: 21–50 %); the chance that it is over 20 % then is about 91 in 100.');
    expect(said({ over_limit_percent: 88 })).toContain('about 9 in 10.');
    expect(said({ over_limit_percent: 88 }, spanish)).toMatch(/^El 15 sept? puede estar en 34 % \(9 de cada 10 veces: 21–50 %\); la probabilidad de que entonces pase del 20 % es de unas 9 de cada 10\.$/);
  });

  it('says why that day, where a limit begins on it', () => {
    const next = { limit: { ...limit, from_on: '2026-09-15', to_on: '2026-09-25' } };
    expect(said(next)).toMatch(/^On 15 Sep, when the next limit begins, it may be at 34 %/);
    expect(said(next, spanish)).toMatch(/^El 15 sept?, cuando empieza el próximo límite, puede estar/);
  });

  it('gives no chance without a limit, and one where the chance is nothing', () => {
    expect(said({ limit: null, over_limit_percent: null })).toBe('On 15 Sep it may be at 34 % (9 times in 10: 21–50 %).');
    expect(said({ over_limit_percent: 0 })).toContain('is less than 1 in 100.');
    expect(said({ over_limit_percent: 0 }, spanish)).toContain('es de menos de 1 de cada 100.');
  });

  it('is left out where there is none', () => {
    expect(said({ points: [] })).toBe('');
    expect(said({ code: 'cannot_say' })).toBe('');
    expect(forecastAnswer(group(), english)).toBe('');
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
  const said = (more: Partial<TrendGroup>, speech = english): string => plain(aheadAnswer(group(more), speech));

  it('say that the data are too thin, once', () => {
    expect(said({ growth: thin, forecast: thin })).toBe('Cannot say yet where it goes, with 2 weeks and 40 plants to go by.');
    expect(said({ growth: thin, forecast: thin }, spanish)).toBe('Con 2 semanas y 40 plantas aún no se puede decir adónde va.');
    const one = { ...thin, weeks: 1, plants_looked_at: 1 };
    expect(said({ growth: one, forecast: one })).toContain('with 1 week and 1 plant to go by');
    expect(said({ growth: one, forecast: one }, spanish)).toContain('Con 1 semana y 1 planta aún');
  });

  it('say what is known beside what is not', () => {
    expect(said({ growth: known(1.4, 1.15, 1.8), forecast: thin })).toMatch(/^It has been growing.*Cannot say yet where it goes/);
    expect(said({ growth: thin, forecast: forecast() })).toMatch(/^On 15 Sep.*Cannot say yet whether it grows, with 2 weeks and 40 plants to go by\.$/);
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
