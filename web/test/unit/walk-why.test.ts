import { afterEach, describe, expect, it } from 'vitest';

import type { PlanStop, StopLine } from '../../src/contract.gen';
import { enough } from '../../src/walk/enough';
import { whyText } from '../../src/walk/plan-said';
import { speak } from '../../src/words';

const line = (plants: number, below: number | null, above: number | null): StopLine => ({ plants, below_if_at_most: below, above_if_at_least: above });

const stop: PlanStop = {
  cultivar_id: 'c',
  plants_least: 1,
  acceptable_percent: 5,
  action_percent: 20,
  lines: [line(2, null, null), line(10, null, 4), line(20, 0, 7), line(40, 3, 10), line(60, 5, 12)],
  below_at_maximum: 6,
  done_plants: 0,
  done_infested: 0,
  code: 'more',
};

/** Why it is enough or not with so many infested among so many plants. */
function why(infested: number, plants: number, more: Partial<PlanStop> = {}, least = 1): string {
  const of = { ...stop, ...more };
  return whyText({ stop: of, plants, infested, enough: enough(of, { plants, infested }, [{ plants, least }]) }).replaceAll('\u00a0', ' ');
}

afterEach(() => speak('en'));

describe('why it is enough or not, in a sentence', () => {
  it('says up to how many mean below the limit, and from how many on it is over', () => {
    expect(why(2, 40)).toBe('Up to 3 of 40 plants with it mean below the limit of 20 %.');
    expect(why(11, 40)).toBe('From 10 of 40 plants with it on, it is over the limit of 20 %.');
  });

  it('takes the same bounds past the end of the table as the verdict', () => {
    expect(why(10, 100)).toBe('Up to 10 of 100 plants with it mean below the limit of 20 %.');
    expect(why(11, 100)).toBe('From 11 of 100 plants with it on, it is over the limit of 20 %.');
  });

  it('says what lies between, and what so few plants cannot mean yet', () => {
    expect(why(5, 40)).toBe('Of 40 plants up to 3 with it would mean below the limit of 20 %, from 10 on over it: what lies between needs more plants.');
    expect(why(1, 10)).toBe('So few plants cannot mean below the limit of 20 % yet; from 4 of 10 with it on they would mean over it.');
    expect(why(1, 20, { lines: [line(20, 0, null), line(40, 3, null)] })).toBe('So few plants cannot mean over the limit of 20 % yet; up to 0 of 20 with it would mean below it.');
    expect(why(0, 2, { lines: [line(20, null, null)] })).toBe('So few plants can mean neither below nor over the limit of 20 %.');
  });

  it('says why it does not judge before all blocks and plants were looked at', () => {
    expect(why(0, 10, {}, 15)).toMatch(/^Pests sit in patches/);
    expect(why(0, 20, { plants_least: 60 })).toBe('Fewer than 60 plants of a cultivar in a house say too little to judge the limit of 20 %.');
    expect(why(0, 20, { code: 'no_limit' })).toBe('No limit is set for it this week.');
  });

  it('names the limit that was set, not the share it was worked out for', () => {
    const limit = { percent: 7, from_on: '2026-08-01', to_on: '2026-09-30', effect: 'act', source: 'x', threshold_id: 't' } as const;
    expect(why(2, 40, { limit })).toContain('the limit of 7 %');
  });

  it('speaks Spanish', () => {
    speak('es');
    expect(why(2, 40)).toBe('Hasta 3 de 40 plantas con el organismo significan por debajo del límite del 20 %.');
  });
});
