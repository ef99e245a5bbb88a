import { describe, expect, it } from 'vitest';

import type { Lot, PlanLook, PlanRule } from '../../src/contract.gen';
import { rulesFacts, withRule } from '../../src/setup/round-rules';
import { againOffered, readMinutes } from '../../src/walk/minutes';
import { enoughText, minutesText, positionsText, reasonsText, ruleText } from '../../src/walk/plan-said';
import type { Names } from '../../src/walk/round';
import { usualRules, wholeRules } from '../../src/walk/round-rules';

const plain = (text: string): string => text.replace(/\s/g, ' ');

describe('the rules of a round', () => {
  it('are the usual ones where a site says nothing', () => {
    // 15 to 20 plants on at least half of the benches: ONfloriculture, 25 September 2018, on the tipping point for
    // whitefly in poinsettia. 5 % of the crop: ONfloriculture, 2023, for the October decision. The times: common practice.
    expect(usualRules).toEqual({
      crop_percent: 5,
      blocks_percent: 50,
      plants_per_block_least: 15,
      plants_per_block_most: 20,
      seconds_per_plant: 12,
      minutes_per_block: 1.5,
    });
    expect(wholeRules(undefined)).toEqual(usualRules);
    expect(wholeRules({ minutes_per_block: 0 }).minutes_per_block).toBe(0);
  });

  it('leave out what is emptied, and keep a zero', () => {
    expect(withRule({ crop_percent: 6 }, 'minutes_per_block', 0)).toEqual({ crop_percent: 6, minutes_per_block: 0 });
    expect(withRule({ crop_percent: 6, minutes_per_block: 0 }, 'crop_percent', null)).toEqual({ minutes_per_block: 0 });
    expect(withRule({ crop_percent: 6 }, 'crop_percent', null)).toBeNull();
  });

  it('stand beside each other in words, the usual ones marked', () => {
    expect(rulesFacts({ plants_per_block_least: 10 }).map(({ value }) => plain(value))).toEqual([
      '5 % (usual)',
      '50 % (usual)',
      '10 plants',
      '20 plants (usual)',
      '12 s (usual)',
      '1.5 min (usual)',
    ]);
  });
});

describe('a plan in words', () => {
  it('names its rules as the site has them', () => {
    const rule = (name: PlanRule['rule']): PlanRule => ({ rule: name, asked: 1, planned: 1, done: 0, kept: true, met: false });
    expect(plain(ruleText(rule('crop_share'), usualRules))).toBe('5 % of the plants');
    expect(plain(ruleText(rule('plants_per_block'), usualRules))).toBe('15 to 20 plants in each block');
    expect(ruleText(rule('arrivals'), usualRules)).toBe('every arrival');
  });

  it('says an arrival with findings once', () => {
    const look: Pick<PlanLook, 'lot_id' | 'reasons'> = { lot_id: 'l', reasons: ['turn', 'arrival', 'arrival_finding'] };
    const names: Pick<Names, 'lot'> = { lot: () => ({ arrived_on: '2026-08-03' }) as Lot };
    expect(plain(reasonsText(look, names))).toBe('its turn · arrived 3 Aug with findings');
    expect(plain(reasonsText({ ...look, reasons: ['arrival'] }, names))).toBe('for the arrival of 3 Aug');
  });

  it('names plants so that no comma is read as part of a number', () => {
    expect(positionsText([7, 1002, 1034])).toBe('Plants 7, 1002, 1034, counted along the block');
  });

  it('rounds minutes up', () => {
    expect([86, 86.1, 85.999999999999].map((minutes) => plain(minutesText(minutes)))).toEqual(['86 min', '87 min', '86 min']);
  });

  it('says whether it is enough', () => {
    expect(enoughText({ code: 'below' })).toBe('Enough: below the limit');
    expect(enoughText({ code: 'more', more: 12 })).toBe('12 more could be enough');
    expect(plain(enoughText({ code: 'blocks', blocks: 3, left: 2, least: 15 }))).toBe('Not before 15 plants in each of 3 blocks (2 to go)');
    expect(plain(enoughText({ code: 'blocks', blocks: 3, left: 1, least: null }))).toBe('Not before all of its 3 planned blocks (1 to go)');
  });
});

describe('the minutes there are', () => {
  it.each([
    ['', { minutes: null }],
    ['45', { minutes: 45 }],
    ['7,5', { minutes: 7.5 }],
    ['6000', { minutes: 6000 }],
    ['30m', { fault: 'type' }],
    ['0', { fault: 'too_small' }],
    ['-5', { fault: 'too_small' }],
    ['7000', { fault: 'too_large' }],
  ])('typed as "%s" are read, or the fault is said', (text, want) => {
    expect(readMinutes(text)).toEqual(want);
  });

  it('can be planned for again, and the button stays under the focus meanwhile', () => {
    expect(againOffered({ waits: true, busy: false, focused: false })).toBe('on');
    expect(againOffered({ waits: true, busy: true, focused: true })).toBe('off');
    expect(againOffered({ waits: false, busy: false, focused: true })).toBe('off');
    expect(againOffered({ waits: true, busy: true, focused: false })).toBe('no');
    expect(againOffered({ waits: false, busy: false, focused: false })).toBe('no');
  });
});
