import { readFileSync } from 'node:fs';

import { describe, expect, it } from 'vitest';

import type { PlanStop, StopLine } from '../../src/contract.gen';
import { enough, verdict, type Visit } from '../../src/walk/enough';

const line = (plants: number, below: number | null, above: number | null): StopLine => ({
  plants,
  below_if_at_most: below,
  above_if_at_least: above,
});

/** A table made up so that every step shows: below from 20 plants on, above from 4. It ends at 60: below if at most 6. */
const lines = [
  ...Array.from({ length: 3 }, (_, i) => line(i + 1, null, null)),
  ...Array.from({ length: 16 }, (_, i) => line(i + 4, null, 4)),
  ...Array.from({ length: 20 }, (_, i) => line(i + 20, 0, 7)),
  ...Array.from({ length: 20 }, (_, i) => line(i + 40, 3, 10)),
  line(60, 5, 12),
];

const stop = (more: Partial<PlanStop> = {}): PlanStop => ({
  cultivar_id: 'c',
  plants_least: 1,
  acceptable_percent: 5,
  action_percent: 20,
  lines,
  below_at_maximum: 6,
  done_plants: 0,
  done_infested: 0,
  code: 'more',
  ...more,
});

const found = (infested: number, plants: number) => ({ plants, infested });
const visited: Visit[] = [{ plants: 15, least: 15 }];

describe('what the table says', () => {
  it.each([
    ['nothing before a plant was looked at', 0, 0, null],
    ['nothing before any line begins', 3, 3, null],
    ['above on the line', 4, 4, 'above'],
    ['not below before below is possible', 0, 19, null],
    ['below on the line', 0, 20, 'below'],
    ['nothing between the lines', 1, 20, null],
    ['nothing just under the upper line', 6, 39, null],
    ['above on the upper line', 7, 39, 'above'],
    ['below where the lower line has risen', 3, 40, 'below'],
    ['at the end below, also between the lines', 6, 60, 'below'],
    ['at the end above, also between the lines', 7, 60, 'above'],
    ['past the end in proportion: 10 of 100 is below 6 of 60', 10, 100, 'below'],
    ['past the end in proportion: 11 of 100 is above 6 of 60', 11, 100, 'above'],
  ])('%s', (_, infested, plants, want) => {
    expect(verdict(stop(), found(infested, plants))).toBe(want);
  });

  it('is read with care where lines are left out', () => {
    const some = stop({ lines: [line(20, 0, 7), line(40, 3, 10), line(60, 5, 12)] });
    expect(verdict(some, found(3, 45))).toBe('below');
    expect(verdict(some, found(2, 39))).toBeNull(); // below only once 40 were looked at
    expect(verdict(some, found(7, 25))).toBeNull(); // the line for 25 may already be higher than 7
    expect(verdict(some, found(10, 25))).toBe('above');
  });

  it('is nothing where there is no table', () => {
    const none = stop({ lines: [] });
    delete none.below_at_maximum;
    expect(verdict(none, found(5, 5))).toBeNull();
  });
});

describe('whether it is enough', () => {
  it('is below or above once a line is met', () => {
    expect(enough(stop(), found(0, 20), visited)).toEqual({ code: 'below' });
    expect(enough(stop(), found(8, 30), visited)).toEqual({ code: 'above' });
  });

  it('is never said before every planned block has its plants', () => {
    const three = [15, 9, 0].map((plants): Visit => ({ plants, least: 15 }));
    expect(enough(stop(), found(20, 24), three)).toEqual({ code: 'blocks', blocks: 3, left: 2, least: 15 });
  });

  it('names no one number where the blocks ask for different ones', () => {
    const mixed: Visit[] = [
      { plants: 15, least: 15 },
      { plants: 0, least: 8 },
    ];
    expect(enough(stop(), found(0, 23), mixed)).toEqual({ code: 'blocks', blocks: 2, left: 1, least: null });
  });

  it('is never said before the least number of plants', () => {
    expect(enough(stop({ plants_least: 45 }), found(0, 33), visited)).toEqual({ code: 'plants', least: 45, more: 12 });
    expect(enough(stop({ plants_least: 45 }), found(0, 45), visited)).toEqual({ code: 'below' });
  });

  it('else names the fewest more that could be: all of them free of it, or all infested', () => {
    expect(enough(stop(), found(0, 8), visited)).toEqual({ code: 'more', more: 4 }); // 4 of 12 meet the upper line
    expect(enough(stop(), found(1, 20), visited)).toEqual({ code: 'more', more: 6 }); // 7 of 26 meet the upper line
    expect(enough(stop(), found(2, 38), visited)).toEqual({ code: 'more', more: 2 }); // 2 of 40 meet the lower line
    expect(enough(stop(), found(6, 59), visited)).toEqual({ code: 'more', more: 1 }); // the end of the table
  });

  it('keeps the promise: one fewer could not have been enough', () => {
    for (let plants = 1; plants < 60; plants++) {
      for (let infested = 0; infested <= Math.min(plants, 14); infested++) {
        const now = enough(stop(), found(infested, plants), visited);
        if (now.code !== 'more' || now.more === null) continue;
        const could = (more: number): boolean => verdict(stop(), found(infested, plants + more)) !== null || verdict(stop(), found(infested + more, plants + more)) !== null;
        expect(could(now.more), `${infested} of ${plants}`).toBe(true);
        for (let fewer = 1; fewer < now.more; fewer++) expect(could(fewer), `${infested} of ${plants}, ${fewer} more`).toBe(false);
      }
    }
  });

  it('has nothing to say without a limit', () => {
    expect(enough(stop({ code: 'no_limit', lines: [] }), found(9, 9), visited)).toEqual({ code: 'no_limit' });
  });
});

interface CalledStops {
  stops: {
    limit_percent: number;
    blocks: number;
    plants_least: number;
    below_at_maximum: number;
    lines: [plants: number, below: number | null, above: number | null][];
    calls: { plants: number; infested: number; call: PlanStop['code']; more_plants: number }[];
  }[];
}

/** Made and held by the test beside the sums of the server, domain/scouting/planstop_golden_test.go. */
const { stops: called } = JSON.parse(readFileSync(new URL('../../../testdata/stop_calls.json', import.meta.url), 'utf8')) as CalledStops;

describe('the sums of the server', () => {
  it.each(called)('are said the same here: limit $limit_percent %, $blocks blocks', ({ plants_least, below_at_maximum, lines: rows, calls }) => {
    const table = stop({ plants_least, below_at_maximum, lines: rows.map(([plants, below, above]) => line(plants, below, above)) });
    for (const { plants, infested, call, more_plants } of calls) {
      const here = enough(table, found(infested, plants), []);
      const tooFew = { code: 'plants', least: plants_least, more: plants_least - plants };
      const more = plants < plants_least ? tooFew : { code: 'more', more: more_plants };
      expect(here, `${infested} of ${plants}`).toEqual(call === 'more' ? more : { code: call });
    }
  });
});
