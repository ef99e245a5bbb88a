import { readFileSync } from 'node:fs';

import { describe, expect, it } from 'vitest';

import type { DifferenceSum, ProportionSum, SampleSizeSum, StopLine, StopLinesSum } from '../../src/contract.gen';
import { changes, degreeDaysAnswer, differenceAnswer, proportionAnswer, sampleSizeAnswer, stopLinesAnswer } from '../../src/sums/answers';
import { queryOf } from '../../src/sums/ask';
import { members, sumIds } from '../../src/sums/members';
import { addressOf, example, readState, unreadable } from '../../src/sums/state';
import { unmarked } from '../../src/trends/mark';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';

const english = { words: en, format: formatIn('en') };
const spanish = { words: es, format: formatIn('es') };
const plain = (text: string): string => unmarked(text).replaceAll('\u00a0', ' ');
const queryIn = (address: string): URLSearchParams => new URL(address, 'http://pages.invalid').searchParams;
const named = { method: 'm', source: 's' };

describe('the address of a sum', () => {
  it.each(sumIds)('brings back the fields of %s', (sum) => {
    expect(readState(queryIn(addressOf(sum, example(sum))))).toEqual({ sum, texts: example(sum) });
  });

  it('writes numbers as the server reads them, however they were typed', () => {
    const address = addressOf('sample-size', { lot_size: '1 000', detection_percent: '0,5', confidence_percent: '95', sensitivity_percent: '' });
    expect(address).toBe('/sums?sum=sample-size&lot_size=1000&detection_percent=0.5&confidence_percent=95');
  });

  it('leaves empty what it cannot read, and guesses nothing', () => {
    const { texts } = readState(queryIn('/sums?sum=proportion&examined=ten&infested=1.5&method=wald'));
    expect(texts).toEqual({ examined: '', infested: '', confidence_percent: '', method: 'wilson' });
    expect(readState(queryIn('/sums?sum=average&examined=10'))).toEqual({ sum: null, texts: null });
    expect(readState(queryIn('/sums?sum=proportion'))).toEqual({ sum: 'proportion', texts: null });
  });

  it('asks the server without what is empty, so that the server says what it misses', () => {
    expect(queryOf('degree-days', { ...example('degree-days'), minimum: '−3', lower: '' })).toEqual({
      minimum: -3,
      maximum: 27,
      method: 'single-sine',
      unit: 'C',
    });
  });

  it('asks nothing while a field holds no number', () => {
    expect(unreadable('proportion', { ...example('proportion'), examined: 'ten', infested: '1.5' })).toEqual(['examined', 'infested']);
    expect(unreadable('proportion', example('proportion'))).toEqual([]);
  });
});

describe('the fields', () => {
  it.each(sumIds)('of %s all have a label in both languages', (sum) => {
    const names = members[sum].map(({ name }) => name);
    expect(Object.keys(en.sums.fields[sum])).toEqual(names);
    expect(Object.keys(es.sums.fields[sum])).toEqual(names);
  });
});

describe('the sample size', () => {
  // 57 of 1,000 at 5 % and 95 %: ISPM 31 (FAO/IPPC, 2008), appendix 2, table 1.
  const sum: SampleSizeSum = {
    lot_size: 1000,
    detection_percent: 5,
    confidence_percent: 95,
    sensitivity_percent: 100,
    plants: 57,
    infested_units: 50,
    ...named,
  };

  it('says how many plants to look at', () => {
    expect(plain(sampleSizeAnswer(sum, english))).toBe('Look at 57 of 1,000 plants: if 5 % are infested you find at least one with 95 % confidence.');
    expect(plain(sampleSizeAnswer({ ...sum, detection_percent: 12.5 }, spanish))).toMatch(/si el 12,5 % está infestado/);
  });

  it('says when it is all of them, and on what it counts', () => {
    expect(plain(sampleSizeAnswer({ ...sum, lot_size: 20, plants: 20 }, english))).toMatch(/^Look at all 20 plants:/);
    expect(plain(sampleSizeAnswer({ ...sum, plants: 72, sensitivity_percent: 80 }, english))).toMatch(/recognising 80 % of the infested plants/);
  });

  it('says why no number will do', () => {
    expect(plain(sampleSizeAnswer({ ...sum, lot_size: 10, plants: null, reason: 'no_infested_unit' }, english))).toMatch(/^5 % of 10 plants is less than one plant/);
    expect(plain(sampleSizeAnswer({ ...sum, lot_size: 100, plants: null, sensitivity_percent: 30, reason: 'sensitivity_too_low' }, english))).toMatch(
      /^Even all 100 plants do not give 95 % confidence/,
    );
  });
});

interface Newcombe {
  cases: { x: number; n: number; method: string; published_4dp: [number, number] }[];
}

describe('the share', () => {
  const share = (infested: number, examined: number, lower: number, upper: number): ProportionSum => ({
    examined,
    infested,
    confidence_percent: 95,
    infested_percent: (100 * infested) / examined,
    lower_percent: lower,
    upper_percent: upper,
    ...named,
  });

  it('stands with its counts and its interval', () => {
    // 4 of 18: Wilson's interval, method 3 of Newcombe 1998, Statistics in Medicine 17:857-872, worked by hand.
    expect(plain(proportionAnswer(share(4, 18, 9.0009, 45.2146), english))).toBe('4 of 18 is 22 % (9–45).');
    expect(plain(proportionAnswer(share(4, 18, 9.0009, 45.2146), spanish))).toBe('4 de 18 es el 22 % (9–45).');
  });

  it('of no find says what is ruled out, never that there is nothing', () => {
    // 1 - 0.05^(1/60) = 4.87 %: the exact one-sided limit of Clopper and Pearson 1934, Biometrika 26:404-413.
    const none = { ...share(0, 60, 0, 6.0172), rules_out_percent: 100 * (1 - 0.05 ** (1 / 60)) };
    expect(plain(proportionAnswer(none, english))).toBe('0 of 60: with 95 % confidence fewer than 4.9 % are infested.');
    expect(plain(proportionAnswer(none, spanish))).toBe('0 de 60: con una confianza del 95 %, menos del 4,9 % está infestado.');
  });

  it('of 1 among 29 is written with the limits of table I in Newcombe 1998', () => {
    const { cases } = JSON.parse(readFileSync('../testdata/published/ci_proportion_newcombe1998.json', 'utf8')) as Newcombe;
    const found = cases.find(({ x, n, method }) => x === 1 && n === 29 && method === 'wilson');
    expect(found?.published_4dp).toEqual([0.0061, 0.1718]); // from memory, as the file says
    const [lower, upper] = found?.published_4dp ?? [0, 0];
    expect(plain(proportionAnswer(share(1, 29, 100 * lower, 100 * upper), english))).toBe('1 of 29 is 3.4 % (0.6–17.2).');
  });
});

describe('the difference of two shares', () => {
  // 56 of 70 against 48 of 80: 0.2000, 0.0524 to 0.3339; method 10 in Newcombe RG (1998),
  // Statistics in Medicine 17:873-890, table II (a). Quoted from memory.
  const sum: DifferenceSum = {
    examined_a: 70,
    infested_a: 56,
    examined_b: 80,
    infested_b: 48,
    confidence_percent: 95,
    difference_percent: 20,
    lower_percent: 5.24,
    upper_percent: 33.39,
    ...named,
  };

  it('names both shares with their counts, the difference and its interval', () => {
    expect(plain(differenceAnswer(sum, english))).toBe(
      '56 of 70 (80 %) against 48 of 80 (60 %): +20 percentage points, and with 95 % confidence from +5.2 to +33.4. Zero lies outside: chance alone hardly explains it.',
    );
  });

  it('says when it may be none at all', () => {
    expect(plain(differenceAnswer({ ...sum, lower_percent: 0 }, english))).toMatch(/Zero lies within/);
    expect(plain(differenceAnswer({ ...sum, difference_percent: -3, lower_percent: -9, upper_percent: 2 }, spanish))).toMatch(/−3 puntos porcentuales.*El cero queda dentro/);
  });
});

describe('the stop lines', () => {
  const line = (plants: number, below: number | null, above: number | null): StopLine => ({
    plants,
    below_if_at_most: below,
    above_if_at_least: above,
  });
  const lines = [line(1, null, null), line(2, null, 2), line(3, null, 2), line(4, 0, 3), line(5, 0, 3), line(6, 1, 2)];
  const sum: StopLinesSum = {
    acceptable_percent: 5,
    action_percent: 15,
    alpha: 0.1,
    beta: 0.1,
    maximum: 6,
    slope: 0.1,
    below_intercept: -1,
    above_intercept: 1,
    lines,
    operating: [
      { percent: 5, probability_below: 0.9, average_plants: 4 },
      { percent: 15, probability_below: 0.25, average_plants: 3 },
    ],
    ...named,
  };

  it('are said by their earliest and latest ends and by what they do', () => {
    expect(plain(stopLinesAnswer(sum, english))).toBe(
      'Look at plants one by one. Above can be said after 2 plants at the earliest, with 2 or more infested. Below can be said after 4 plants at the earliest, with none infested. After 6 plants it is decided all the same. Done so, a true 5 % is called above in 10 % of cases, and a true 15 % below in 25 %.',
    );
  });

  it('say nothing of a side on which one never stops', () => {
    const onlyAbove = { ...sum, operating: [], lines: [line(1, null, null), line(2, null, 2)] };
    expect(plain(stopLinesAnswer(onlyAbove, english))).not.toMatch(/Below/);
  });

  it('are listed where they change, and at their end', () => {
    expect(changes(lines).map(({ plants }) => plants)).toEqual([2, 4, 6]);
    expect(changes([line(1, null, null), line(2, null, null)]).map(({ plants }) => plants)).toEqual([2]);
  });
});

describe('the degree-days', () => {
  it('name the day, the thresholds and the unit', () => {
    // 15 and 27 °C above 10 °C: (15 + 27) / 2 - 10, the sine lying wholly above the threshold
    // (Baskerville and Emin 1969, Ecology 50:514-517).
    const sum = { degree_days: 11, unit: 'C' as const, ...named };
    expect(plain(degreeDaysAnswer(sum, example('degree-days'), english))).toBe('A day from 15 to 27 °C gives 11 degree-days (°C) above 10 °C.');
    expect(plain(degreeDaysAnswer(sum, { ...example('degree-days'), minimum: '-2.5', upper: '25' }, spanish))).toBe(
      'Un día de −2,5 a 27 °C da 11 grados-día (°C) por encima de 10 °C. Lo que pasa de 25 °C cuenta como 25 °C.',
    );
  });
});
