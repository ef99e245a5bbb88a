import { describe, expect, it } from 'vitest';

import type { TrendPoint } from '../../src/contract.gen';
import { labelled, percentTop, runs, weekPosition } from '../../src/marks';
import { parseNumber } from '../../src/parts/number-field';

const weeks = ['2026-W52', '2026-W53', '2027-W01', '2027-W02'];
const point = (week: string): TrendPoint => ({
  week,
  starts_on: '2026-12-21',
  looks: 1,
  blocks: 1,
  plants_looked_at: 10,
  infested_plants: 1,
  infested_percent: 10,
  lower_percent: 2,
  upper_percent: 40,
  looks_in_doubt: 0,
});

describe('a series', () => {
  it('is broken where a week has no look', () => {
    const found = runs(weeks, ['2026-W52', '2026-W53', '2027-W02'].map(point));
    expect(found.map((run) => run.map(({ week }) => week))).toEqual([['2026-W52', '2026-W53'], ['2027-W02']]);
  });

  it('puts a date where its week is', () => {
    expect(weekPosition(weeks, '2026-12-23')).toBeCloseTo(0); // Wednesday of the first week
    expect(weekPosition(weeks, '2027-01-06')).toBeCloseTo(2);
    expect(weekPosition(weeks, '2026-12-19')).toBeLessThan(-0.5);
  });

  it('has a top above every value, and never above 100', () => {
    expect(percentTop([])).toBe(5);
    expect(percentTop([3, 31])).toBe(40);
    expect(percentTop([97])).toBe(100);
  });

  it('labels the last week always, and as many as have room', () => {
    const shown = labelled(11, 12, 34);
    expect(Array.from({ length: 11 }, (_, i) => i).filter(shown)).toEqual([1, 4, 7, 10]);
  });
});

describe('a typed number', () => {
  it('is read as people write it', () => {
    expect(parseNumber('1 200', 0)).toBe(1200);
    expect(parseNumber('7,5', 1)).toBe(7.5);
    expect(parseNumber('−3', 0)).toBe(-3);
    expect(parseNumber('', 0)).toBeNull();
  });

  it('is refused when it is none, or a broken plant', () => {
    expect(parseNumber('12a', 0)).toBeUndefined();
    expect(parseNumber('1.5', 0)).toBeUndefined();
    expect(parseNumber('.', 1)).toBeUndefined();
    expect(parseNumber('1.2.3', 1)).toBeUndefined();
  });
});
