import { describe, expect, it } from 'vitest';

import type { AgeComparison, ArrivalWeek, ComparedGroup, TrendPoint } from '../../src/contract.gen';
import { knownPart } from '../../src/marks/geometry';
import { agesOf, rowOf, tellingAge, weekAt } from '../../src/trends/arrivals/ages';
import { ageAnswer, cellName } from '../../src/trends/arrivals/answers';
import { arrivalsAddress, arrivalsOf, readArrivals } from '../../src/trends/arrivals/state';
import { unmarked } from '../../src/trends/mark';
import { stepFrom } from '../../src/trends/steps';
import { dictionaries } from '../../src/words/dictionaries';
import { formatIn } from '../../src/words/format';
import type { Words } from '../../src/words';

const english = { words: dictionaries.value.en as Words, format: formatIn('en') };
const spanish = { words: dictionaries.value.es as Words, format: formatIn('es') };
const plain = (text: string): string => unmarked(text).replaceAll('\u00a0', ' ');

const point = (week: string, infested: number, looked: number, lower = 0, upper = 100): TrendPoint => ({
  week,
  starts_on: '2026-07-27',
  looks: 1,
  blocks: 1,
  plants_looked_at: looked,
  infested_plants: infested,
  infested_percent: (100 * infested) / looked,
  lower_percent: lower,
  upper_percent: upper,
  looks_in_doubt: 0,
});

function group(key: string, rank: number, infested: number, looked: number, lower: number, upper: number, differs: ComparedGroup['differs'] = 'no'): ComparedGroup {
  const percent = (100 * infested) / looked;
  return {
    key,
    rank,
    plants_looked_at: looked,
    infested_plants: infested,
    infested_percent: percent,
    lower_percent: lower,
    upper_percent: upper,
    shrunken_percent: percent,
    funnel_lower_percent: 0,
    funnel_upper_percent: 100,
    differs,
  };
}

const at = (age: number, ...groups: ComparedGroup[]): AgeComparison => ({
  age_weeks: age,
  code: groups.length > 1 ? 'known' : 'cannot_say',
  homogeneity_p: groups.some(({ differs }) => differs !== 'no') ? 0.001 : 0.4,
  overall_percent: 10,
  groups,
});

const [early, late, mixed]: [ArrivalWeek, ArrivalWeek, ArrivalWeek] = [
  { key: '2026-W29', week: '2026-W29', mixed: false, lots: 2, cells: [{ age_weeks: 0, point: point('2026-W29', 0, 20) }, { age_weeks: 2, point: point('2026-W31', 3, 80) }] },
  { key: '2026-W31', week: '2026-W31', mixed: false, lots: 1, cells: [{ age_weeks: 1, point: point('2026-W32', 12, 60) }] },
  { key: 'mixed 2026-W29', week: '2026-W29', mixed: true, lots: 1, cells: [{ age_weeks: 4, point: point('2026-W33', 1, 9) }] },
];
const weeks = [early, late, mixed];

const cellOf = ({ cells: [cell] }: ArrivalWeek): ArrivalWeek['cells'][number] => {
  if (!cell) throw new Error('no cell');
  return cell;
};

describe('the map of arrivals', () => {
  it('has every age without gaps, from the week of arrival on', () => {
    expect(agesOf({ weeks })).toEqual([0, 1, 2, 3, 4]);
    expect(agesOf({ weeks: [] })).toEqual([]);
    expect(agesOf({ weeks: [{ ...late, cells: [{ age_weeks: 0, point: point('2026-W31', 0, 5) }, { age_weeks: -1, point: point('2026-W30', 0, 5) }] }] })).toEqual([-1, 0]);
  });

  it('tells what nobody looked at from what is still to come, and neither is none found', () => {
    expect(rowOf(early, [0, 1, 2, 3, 4, 5], '2026-08-12').map((cell) => (typeof cell === 'string' ? cell : cell.point.infested_plants))).toEqual([
      0, 'not_looked_at', 3, 'not_looked_at', 'not_looked_at', 'to_come',
    ]);
    expect(weekAt({ week: '2026-W53' }, 1)).toBe('2027-W01');
  });

  it('shows how little is known of a share: 1 of 5 hardly at all, 0 of 222 nearly all', () => {
    expect(knownPart(3.6, 62.4)).toBe(0.05);
    expect(knownPart(12, 32)).toBeCloseTo(2 / 3);
    expect(knownPart(0, 1.7)).toBeGreaterThan(0.97);
  });

  it('compares at the oldest age that half of the arrivals have reached, mixed lots aside', () => {
    const one = group('2026-W29', 1, 3, 80, 1, 10);
    const two = [one, group('2026-W31', 2, 1, 60, 0, 9)];
    expect(tellingAge({ weeks, ages: [at(0, ...two), at(1, ...two), at(2, one)] })).toBe(1);
    expect(tellingAge({ weeks, ages: [at(0, one), at(2, one)] })).toBe(0);
    expect(tellingAge({ weeks, ages: [] })).toBeUndefined();
  });
});

describe('the sentence over the map', () => {
  const groups = [group('2026-W31', 1, 12, 60, 12, 32, 'higher'), group('2026-W29', 2, 3, 80, 1, 10, 'lower'), group('2026-W30', 3, 1, 5, 3.6, 62)];

  it('names the surest high and the surest low with their counts, and who differs', () => {
    expect(plain(ageAnswer({ ages: [at(4, ...groups)] }, 4, english))).toBe(
      '4 weeks after arrival, of 3 weeks of arrival looked at by then, W31 stands highest for sure at 12 of 60 plants, 20 % (12–32), and W29 lowest at 3 of 80 plants, 3.8 % (1.0–10.0). They differ at the same age: more infested than the others together W31, less W29.',
    );
    expect(plain(ageAnswer({ ages: [at(4, ...groups)] }, 4, spanish))).toContain('la más alta con seguridad es la S31, con 12 de 60 plantas');
  });

  it('says so when they cannot be told apart, when there is only one, none found or nothing', () => {
    const one = group('2026-W31', 1, 4, 60, 2, 16);
    const alike = [one, group('2026-W29', 2, 3, 80, 1, 10)];
    expect(plain(ageAnswer({ ages: [at(1, ...alike)] }, 1, english))).toContain('They cannot be told apart');
    expect(plain(ageAnswer({ ages: [at(1, one)] }, 1, english))).toContain('1 week after arrival only W31 was looked at: 4 of 60 plants');
    const none = [group('2026-W31', 1, 0, 60, 0, 6), group('2026-W29', 1, 0, 12, 0, 24.3)];
    expect(plain(ageAnswer({ ages: [at(0, ...none)] }, 0, english))).toBe(
      'In the week of arrival, none was found in any of 2 weeks of arrival, on 72 plants looked at; up to 24 % could still have it where fewest were.',
    );
    expect(plain(ageAnswer({ ages: [at(1, ...alike)] }, 9, english))).toBe('9 weeks after arrival nothing was looked at.');
    expect(plain(ageAnswer({ ages: [] }, undefined, english))).toBe('No lot whose arrival is known was looked at yet.');
  });

  it('names a cell by its arrival, its age and the week of its looks', () => {
    expect(plain(cellName(late, cellOf(late), english))).toBe('Arrived in W31, 1 week after arrival (W32)');
    expect(plain(cellName(mixed, cellOf(mixed), spanish))).toBe('Lotes mezclados, primera llegada en la S29, 4 semanas después de llegar (S33)');
  });
});

describe('the address of the map', () => {
  const id = '019df34a-0258-7000-8000-000000000000';

  it('holds all that is shown, and reads back as it was', () => {
    const state = readArrivals(new URLSearchParams({ site: id, house: id, foliage: 'dark', age: '4', open: 'mixed 2026-W31', week: '2026-W35', look: id }));
    expect(readArrivals(new URL(arrivalsAddress(state), 'http://x').searchParams)).toEqual(state);
    expect(state).toMatchObject({ foliage: 'dark', age: 4, open: 'mixed 2026-W31', week: '2026-W35', look: id });
  });

  it('leaves out what does not fit', () => {
    const state = readArrivals(new URLSearchParams({ foliage: 'green', age: 'x', open: '2026-W31', look: id, site: '1' }));
    expect(state).toMatchObject({ foliage: null, age: null, open: null, week: null, look: null, site: null });
  });

  it('closes what was opened when it is narrowed, and drops a house of another site', () => {
    const state = readArrivals(new URLSearchParams({ site: id, house: id, age: '4', open: '2026-W31', week: '2026-W35' }));
    expect(arrivalsOf(state, { foliage: 'light' })).toMatchObject({ foliage: 'light', house: id, age: 4, open: null });
    expect(arrivalsOf(state, { site: 'all' })).toMatchObject({ site: 'all', house: null });
  });
});

describe('the arrow keys', () => {
  const held = new Set(['0 1', '0 2', '0 3', '1 1', '1 3', '3 3']);
  const places = { rows: 4, columns: 4, has: (row: number, column: number) => held.has(`${row} ${column}`) };

  it('go to the next place that holds something, also over a gap', () => {
    expect(stepFrom('ArrowRight', 1, 1, places)).toEqual([1, 3]);
    expect(stepFrom('ArrowLeft', 1, 3, places)).toEqual([1, 1]);
    expect(stepFrom('ArrowDown', 1, 1, places)).toEqual([3, 3]);
    expect(stepFrom('ArrowUp', 3, 3, places)).toEqual([1, 3]);
    expect(stepFrom('Home', 0, 3, places)).toEqual([0, 1]);
    expect(stepFrom('End', 0, 1, places)).toEqual([0, 3]);
  });

  it('stay at the edge, and leave other keys alone', () => {
    for (const [key, row, column] of [['ArrowRight', 0, 3], ['ArrowLeft', 0, 1], ['ArrowUp', 0, 1], ['ArrowDown', 3, 3], ['Home', 0, 1], ['Enter', 0, 1]] as const) {
      expect(stepFrom(key, row, column, places)).toBeUndefined();
    }
  });

  it('reach every place from any other', () => {
    const reached = new Set(['0 1']);
    for (const from of reached) {
      const [row = 0, column = 0] = from.split(' ').map(Number);
      for (const key of ['ArrowRight', 'ArrowLeft', 'ArrowDown', 'ArrowUp']) {
        const to = stepFrom(key, row, column, places);
        if (to) reached.add(to.join(' '));
      }
    }
    expect(reached).toEqual(held);
  });
});
