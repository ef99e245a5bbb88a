import { describe, expect, it } from 'vitest';

import type { Block, Daybook, House, Look, LookResult, Lot } from '../../src/contract.gen';
import type { Asked, HouseWalk } from '../../src/walk/plan';
import { allWalked, narrowed, nextOf, progressOf, roundOf, sumOf, withoutPlan } from '../../src/walk/round';

const recorded = { version: 1, recorded_at: '2026-09-14T05:00:00Z', recorded_by: { id: 'p', name: 'P' } };
const house = (id: string, name: string): House => ({ id, ...recorded, site_id: 's', name });
const block = (id: string, house_id: string, position: number, section_id?: string): Block => ({
  id,
  ...recorded,
  site_id: 's',
  house_id,
  name: id,
  position,
  ...(section_id && { section_id }),
});
const lot = (id: string): Lot => ({
  id,
  ...recorded,
  shipment_id: 'sh',
  cultivar_id: 'c',
  plants: 500,
  code: id,
  site_id: 's',
  season_id: 'se',
  crop_id: 'crop',
  arrived_on: '2026-07-06',
  plants_on_hand: 500,
});
const result = (plants_looked_at: number, infested_plants: number): LookResult => ({
  organism_id: 'w',
  plants_looked_at,
  infested_plants,
  infested_percent: (100 * infested_plants) / plants_looked_at,
  lower_percent: 0,
  upper_percent: 100,
  confidence_percent: 95,
  method: 'wilson',
});
const look = (id: string, block_id: string, lot_id: string | null, more: Partial<Look> = {}): Look => ({
  id,
  ...recorded,
  block_id,
  lot_id,
  looked_at: '2026-09-14T07:00:00+02:00',
  targets: [],
  site_id: 's',
  house_id: 'h2',
  looked_on: '2026-09-14',
  week: '2026-W38',
  results: [result(18, 4)],
  doubts: [],
  ...more,
});
const stands = (lot_id: string, block_id: string, plants = 300, to: string | null = null) => ({
  lot_id,
  block_id,
  from: '2026-08-01T06:00:00Z',
  to,
  plants,
});

function daybook(looks: Look[]): Daybook {
  return {
    now: '2026-09-14T06:00:00Z',
    version: 'v1',
    on: '2026-09-14',
    week: '2026-W38',
    site: { id: 's', ...recorded, name: 'S', time_zone: 'Europe/Madrid' },
    houses: [house('h10', 'House 10'), house('h2', 'House 2')],
    sections: [],
    blocks: [block('b3', 'h2', 3, 'north'), block('b1', 'h2', 1, 'north'), block('b2', 'h2', 2), block('x1', 'h10', 1, 'north'), block('x2', 'h10', 2)],
    lots: [lot('l1'), lot('l2'), lot('l3')],
    placements: [
      stands('l1', 'b1', 100),
      stands('l2', 'b1', 200),
      stands('l3', 'b2'),
      stands('l3', 'b3', 300, '2026-09-10T06:00:00Z'),
      stands('l1', 'b3'),
      stands('l2', 'x1'),
    ],
    cultivars: [],
    holds: [],
    customers: [],
    shipments: [],
    inspections: [],
    verdicts: [],
    suppliers: [],
    farms: [],
    seasons: [],
    crops: [],
    organisms: [],
    thresholds: [],
    looks,
  };
}

describe('the round', () => {
  it('goes by houses as people count them, and by blocks in walking order', () => {
    const rounds = roundOf(daybook([]));
    expect(rounds.map((round) => round.house.name)).toEqual(['House 2', 'House 10']);
    expect(rounds[0]?.stops.map((stop) => stop.block.id)).toEqual(['b1', 'b2', 'b3']);
  });

  it('shows what stands there now, most plants first', () => {
    const [first, , third] = roundOf(daybook([]))[0]?.stops ?? [];
    expect(first?.standing.map(({ lot_id }) => lot_id)).toEqual(['l2', 'l1']);
    expect(third?.standing.map(({ lot_id }) => lot_id)).toEqual(['l1']);
  });

  it('counts blocks with plants in them, looked at on the round and not withdrawn', () => {
    const looks = [
      look('1', 'b1', 'l1'),
      look('2', 'b2', 'l3', { purpose: 'on_purpose' }),
      look('3', 'b3', 'l1', { withdrawn_because: 'wrong block' }),
    ];
    expect(progressOf(roundOf(daybook(looks)))).toEqual({ looked: 1, all: 4 });
  });

  it('keeps looks at lots that do not stand there apart', () => {
    const stop = roundOf(daybook([look('1', 'b2', 'l1'), look('2', 'b2', null)]))[0]?.stops[1];
    expect(stop?.others.map(({ id }) => id)).toEqual(['1', '2']);
    expect(stop?.looked).toBe(true);
  });

  it('narrows to a section, a house, or what is left', () => {
    const rounds = roundOf(daybook([look('1', 'b1', 'l1')]));
    const ids = (section: string | null, at: string | null, left: boolean): string[] =>
      narrowed(rounds, { section, house: at, left }).flatMap(({ stops }) => stops.map((stop) => stop.block.id));
    expect(ids('north', null, false)).toEqual(['b1', 'b3', 'x1']);
    expect(ids(null, 'h10', false)).toEqual(['x1', 'x2']);
    expect(ids('north', null, true)).toEqual(['b3', 'x1']);
  });
});

describe('where to go on', () => {
  const next = (looks: Look[], from?: string): string | null => {
    const found = nextOf(roundOf(daybook(looks)), from);
    return found && `${found.stop.block.id} ${found.standing.lot_id}`;
  };

  it('starts at the first block that is left', () => {
    expect(next([])).toBe('b1 l2');
    expect(next([look('1', 'b1', 'l2')])).toBe('b2 l3');
  });

  it('goes to the other lot of the same block first, then on', () => {
    expect(next([look('1', 'b1', 'l2')], 'b1')).toBe('b1 l1');
    expect(next([look('1', 'b1', 'l2'), look('2', 'b1', 'l1')], 'b1')).toBe('b2 l3');
  });

  it('comes round to the start again, and ends when nothing is left', () => {
    expect(next([look('1', 'x1', 'l2')], 'x1')).toBe('b1 l2');
    const all = [look('1', 'b1', 'l1'), look('2', 'b1', 'l2'), look('3', 'b2', 'l3'), look('4', 'b3', 'l1'), look('5', 'x1', 'l2')];
    expect(next(all, 'x1')).toBeNull();
  });
});

describe('several looks at the same plants', () => {
  it('add their counts, without those made on purpose', () => {
    const looks = [
      look('1', 'b1', 'l1'),
      look('2', 'b1', 'l1', { results: [result(20, 1)] }),
      look('3', 'b1', 'l1', { purpose: 'on_purpose', results: [result(5, 5)] }),
    ];
    expect(sumOf(looks, 'w')).toEqual({ looked_at: 38, infested: 5 });
    expect(sumOf(looks, 'other')).toBeNull();
  });
});

describe('a round with a plan', () => {
  const asked = (lot_id: string, plants: number, done: number): Asked => ({
    panel: false,
    done,
    look: { lot_id, cultivar_id: 'c', standing: 100, plants, done_plants: 0, positions: [], reasons: ['turn'] },
  });
  const house2 = (blocks: Record<string, Asked[]>): ReadonlyMap<string, HouseWalk> => {
    const plan = { house_id: 'h2', week: '2026-W38', seed: '1', minutes: 0, plants: 0, standing: 0, blocks_with_plants: 3, rules: [], blocks: [], stops: [] };
    return new Map([['h2', { plan, asked: new Map(Object.entries(blocks)), visited: 0, finished: false, rules: [], stops: [] }]]);
  };

  it('counts and shows as left only what is planned; a house without a plan stays as it was', () => {
    const rounds = roundOf(daybook([]), house2({ b1: [asked('l1', 15, 15)], b3: [asked('l1', 15, 0)] }));
    expect(progressOf(rounds)).toEqual({ looked: 1, all: 3 });
    const left = narrowed(rounds, { section: null, house: null, left: true });
    expect(left.flatMap(({ stops }) => stops.map((stop) => stop.block.id))).toEqual(['b3', 'x1', 'x2']);
  });

  it('is not walked while a planned lot was not looked at, though it is gone and there is nowhere to go on', () => {
    const gone = roundOf(daybook([]), house2({ b2: [asked('l9', 15, 0)] })).slice(0, 1);
    expect(nextOf(gone)).toBeNull();
    expect(progressOf(gone)).toEqual({ looked: 0, all: 1 });
    expect(allWalked(gone)).toBe(false);
    expect(allWalked(roundOf(daybook([]), house2({ b2: [asked('l9', 15, 3)] })).slice(0, 1))).toBe(true);
    expect(allWalked([])).toBe(false);
  });

  it('names the houses with plants that have none', () => {
    const names = (walks?: ReadonlyMap<string, HouseWalk>) => withoutPlan(roundOf(daybook([]), walks)).map(({ name }) => name);
    expect(names()).toEqual(['House 2', 'House 10']);
    expect(names(house2({ b1: [asked('l1', 15, 0)] }))).toEqual(['House 10']);
    const bare = { ...daybook([]), placements: [] };
    expect(withoutPlan(roundOf(bare))).toEqual([]);
  });

  it('goes on from one planned lot to the next', () => {
    const rounds = roundOf(daybook([]), house2({ b1: [asked('l1', 8, 8), asked('l2', 8, 0)], b3: [asked('l1', 15, 3)] }));
    const next = nextOf(rounds, 'b1');
    expect(next && [next.stop.block.id, next.standing.lot_id]).toEqual(['b1', 'l2']);
    const walked = nextOf(roundOf(daybook([]), house2({ b1: [asked('l1', 15, 15)], b3: [asked('l1', 15, 3)] })), 'b1');
    expect(walked?.stop.block.id).toBe('x1'); // the other house: here everything was visited
  });
});
