import { describe, expect, it } from 'vitest';

import type { HouseMap, MapBlock, MapBlockWeek } from '../../src/contract.gen';
import { unmarked } from '../../src/trends/mark';
import { mapAnswer, spotText } from '../../src/trends/map/answers';
import { blocksIn, latestWeek, sectionsOf, weeksOf } from '../../src/trends/map/blocks';
import { mapAddress, readMap } from '../../src/trends/map/state';
import type { Words } from '../../src/words';
import { dictionaries } from '../../src/words/dictionaries';
import { formatIn } from '../../src/words/format';

const english = { words: dictionaries.value.en as Words, format: formatIn('en') };
const spanish = { words: dictionaries.value.es as Words, format: formatIn('es') };
const plain = (text: string): string => unmarked(text).replaceAll('\u00a0', ' ');

const share = (infested: number, looked: number): NonNullable<MapBlockWeek['share']> => ({
  looks: 1,
  blocks: 1,
  plants_looked_at: looked,
  infested_plants: infested,
  infested_percent: (100 * infested) / looked,
  lower_percent: 1,
  upper_percent: 60,
  looks_in_doubt: 0,
  weighted: false,
});

function block(name: string, position: number, week: Omit<MapBlockWeek, 'week'> | null, more: Partial<MapBlock> = {}): MapBlock {
  const beside = [position - 1, position + 1].map((n) => `id ${n}`);
  return { block_id: `id ${position}`, name, position, section: 'East', beside, weeks: week ? [{ week: '2026-W34', ...week }] : [], hot_spots: [], ...more };
}

const map: HouseMap = {
  house_id: 'h',
  house: 'House 2',
  site_id: 's',
  organism_id: 'o',
  season_id: null,
  as_of: '2026-09-02',
  confidence_percent: 95,
  left_out: { on_purpose: 0, withdrawn: 0 },
  points: [
    {
      week: '2026-W34', starts_on: '2026-08-17', looks: 3, blocks: 3, plants_looked_at: 56, infested_plants: 17, infested_percent: 30.4, lower_percent: 17, upper_percent: 48, looks_in_doubt: 0,
    },
  ],
  blocks: [
    block('1', 1, { standing_plants: 300, code: 'above', limit_percent: 20, share: share(15, 20) }, {
      hot_spots: [{ week: '2026-W34', look_id: 'l', where: 'back', on_purpose: false, plants_looked_at: 20, infested_plants: 15 }],
    }),
    block('2', 2, { standing_plants: 300, code: 'too_close', limit_percent: 20, share: share(0, 18) }),
    block('3', 3, { standing_plants: 300, code: 'no_looks' }),
    block('4', 4, { standing_plants: 0, code: 'above', limit_percent: 20, share: share(2, 18) }, { section: 'West' }),
    block('5', 5, null, { section: 'West' }),
  ],
};

const then = blocksIn(map, '2026-W34');

describe('the map of a house', () => {
  it('tells none found from nobody looked, and both from no plants; a look counts although nothing is known to stand there', () => {
    expect(then.map(({ state }) => state)).toEqual(['found', 'none_found', 'not_looked_at', 'found', 'empty']);
    expect(blocksIn(map, '2026-W30').map(({ state }) => state)).toEqual(Array.from({ length: 5 }, () => 'empty'));
  });

  it('names the blocks over their limit beside a block with plants, which is not over it itself', () => {
    expect(then.map(({ over, beside }) => [over, beside.map(({ name }) => name)])).toEqual([
      [true, []],
      [false, ['1']],
      [false, ['4']],
      [true, []],
      [false, []],
    ]);
  });

  it('is drawn section by section as one comes to them, with every week to today', () => {
    expect(sectionsOf(then).map(({ name, blocks }) => [name, blocks.length])).toEqual([
      ['East', 3],
      ['West', 2],
    ]);
    expect(weeksOf(map)).toEqual(['2026-W34', '2026-W35', '2026-W36']);
    expect(latestWeek(map)).toBe('2026-W34');
    expect(weeksOf({ ...map, points: [], blocks: [] })).toEqual([]);
  });

  it('says it in a sentence with its counts', () => {
    expect(plain(mapAnswer(map, '2026-W34', then, 'whitefly', english))).toBe(
      'House 2, W34: 17 of 56 plants in 3 of 4 blocks have whitefly, 30 % (17–48). 2 blocks are over the limit even by themselves: 1 and 4. 2 more stand beside them: 2 and 3. In 1 block looked at none was found. 1 block with plants was not looked at. Hot spots: 1.',
    );
    expect(plain(mapAnswer(map, '2026-W34', then, 'mosca blanca', spanish))).toContain('2 bloques están por encima del límite');
  });

  it('never calls a week without a look clean', () => {
    const bare = { ...map, points: [] };
    expect(plain(mapAnswer(bare, '2026-W34', blocksIn({ ...bare, blocks: [block('3', 3, { standing_plants: 300, code: 'no_looks' })] }, '2026-W34'), 'whitefly', english))).toBe(
      'House 2, W34: nobody looked yet, and plants stand in 1 block.',
    );
    expect(plain(mapAnswer(bare, '2026-W30', blocksIn(bare, '2026-W30'), 'whitefly', english))).toBe('House 2, W30: nobody looked, and no plants are known to stand there.');
    const none = { ...map, points: map.points.map((point) => ({ ...point, infested_plants: 0, infested_percent: 0, lower_percent: 0, upper_percent: 6 })), blocks: [block('2', 2, { standing_plants: 300, code: 'below', share: share(0, 56) })] };
    expect(plain(mapAnswer(none, '2026-W34', blocksIn(none, '2026-W34'), 'whitefly', english))).toContain('with 95 % confidence fewer than 6 % have it');
  });

  it('says where a hot spot is, in the reader’s words where it is a usual place', () => {
    const spot = { week: '2026-W34', look_id: 'l', where: 'back', on_purpose: true, plants_looked_at: 5, infested_plants: 4 };
    expect(plain(spotText(spot, english))).toBe('hot spot, back, looked at on purpose: 4 of 5');
    expect(plain(spotText({ ...spot, on_purpose: false }, spanish))).toBe('foco, al fondo');
    expect(plain(spotText({ ...spot, where: 'constructor', on_purpose: false }, english))).toBe('hot spot, constructor');
    expect(plain(spotText({ ...spot, where: '', on_purpose: false }, english))).toBe('hot spot');
  });

  it('has all of it in its address', () => {
    const id = '019df34a-0258-7000-8000-000000000000';
    const state = readMap(new URLSearchParams({ site: id, house: id, organism: 'BEMITA', week: '2026-W34', block: id, look: id }));
    expect(readMap(new URL(mapAddress(state), 'http://x').searchParams)).toEqual(state);
    expect(readMap(new URLSearchParams({ house: '7', week: '34', look: id }))).toMatchObject({ house: null, week: null, block: null, look: null });
  });
});
