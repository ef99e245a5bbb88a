import { describe, expect, it } from 'vitest';

import type { Trail } from '../../src/contract.gen';
import { addsUp } from '../../src/trail/balance';
import { balanceSentence, startName, trailAnswer } from '../../src/trail/sentences';
import { readAsked, trailAddress } from '../../src/trail/state';
import { unmarked } from '../../src/trends/mark';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';
import { balance, lot, names, stands, trail, went } from './trail-fixtures';

const english = { words: en, format: formatIn('en') };
const spanish = { words: es, format: formatIn('es') };
const plain = (text: string): string => unmarked(text).replaceAll('\u00a0', ' ');
const answer = (one: Trail, speech = english): string => plain(trailAnswer(one, startName(one, names, speech), names, speech));
const sum = (one: Trail, speech = english): string => plain(balanceSentence(one, speech));

const farm = trail({
  lots: [
    lot('a1', 2000, { placed: 1300, dispatched: 500, discarded: 200 }),
    lot('a2', 1200, { placed: 700, dispatched: 500 }),
    lot('a3', 1000, { placed: 900, discarded: 100 }),
  ],
  placements: [stands('a1', 'a', 800), stands('a1', 'b', 500), stands('a2', 'c', 700), stands('a3', 'd', 500), stands('a3', 'e', 400)],
  exits: [went('a1', 'k1', 500), went('a2', 'k2', 500)],
  balance: balance(4200, 2900, 1000, 300),
});

describe('the answer of a trail', () => {
  it('says in a sentence what came, where it stands, who got it and what was discarded', () => {
    expect(answer(farm)).toBe(
      'From farm Tolmera came 3 lots, 4,200 plants received. 2,900 stand in 5 blocks of House 2 and House 4, 1,000 went to 2 customers, and 300 were discarded.',
    );
    expect(answer(farm, spanish)).toBe(
      'De la granja Tolmera vinieron 3 lotes; recibidas: 4200 plantas. 2900 están en 5 bloques de House 2 y House 4, 1000 fueron a 2 clientes y 300 se descartaron.',
    );
    expect(sum(farm)).toBe('It adds up exactly: 4,200 received = 2,900 here + 1,000 dispatched + 300 discarded.');
  });

  it('names holds, lots of several farms and lots that cannot be ruled out', () => {
    const open = trail({ ...farm, lots: farm.lots.map((one, i) => ({ ...one, held: i === 0, certain: i !== 1 })), cannot_rule_out: [lot('u1', 100), lot('u2', 100)] });
    expect(answer(open)).toContain('A hold is in force on 1 lot. Of 1 lot it is not certain: several farms are named on it. 2 lots more of the same supplier cannot be ruled out');
  });

  it('counts a mixed lot by its part and says so', () => {
    const mixed = trail({
      lots: [lot('a1', 100, { merged_away: 100 }), lot('m1', 150, { placed: 150 }, { shipment_id: null, percent: 200 / 3 })],
      links: [{ from_lot_id: 'a1', to_lot_id: 'm1', movement_id: 'x', at: '2026-08-20T08:00:00Z', plants: 100 }],
      placements: [stands('m1', 'a', 150)],
      balance: balance(100, 100, 0, 0),
    });
    expect(answer(mixed)).toBe('From farm Tolmera came 1 lot, 100 plants received. 1 lot was made of them here. 100 stand in 1 block of House 2.');
    expect(sum(mixed)).toBe('One lot is mixed with plants from elsewhere; plants count by their exact parts, and add up exactly.');
  });

  it('adds nothing up from a block, since what left its lots before is not followed', () => {
    const block = trail({ ...farm, from: 'block', id: 'a', balance: undefined });
    expect(answer(block)).toMatch(/^3 lots stood in block House 2 · A or were made of lots that did\. 2,900 stand in 5 blocks/);
    expect(sum(block)).toMatch(/there is nothing to add up\.$/);
  });

  it('leads back from a customer to shipments and farms', () => {
    const back = trail({ ...farm, from: 'customer', id: 'k1', way: 'back', lots: [lot('a1', 2000, {}, { farm_ids: ['f1'] })], exits: [went('a1', 'k1', 500)], balance: undefined });
    expect(answer(back)).toBe('Customer Bexley got 500 plants in 1 dispatch, of 1 lot. The plants came with 1 shipment: Varnholt, 3 Aug. Grown at Tolmera.');
  });
});

describe('a balance', () => {
  const exact = { received: '13429', on_hand: '174548/15', discarded: '143843/180', dispatched: '177541/180', lost: '7', gained: '0' };

  it('adds up in exact fractions', () => {
    expect(addsUp({ exact })).toBe(true);
    expect(addsUp(balance(100, 90, 10, 5, 0, 5))).toBe(true);
  });

  it('does not when a hundredth part of a plant is missing, or a number cannot be read', () => {
    expect(addsUp({ exact: { ...exact, lost: '699/100' } })).toBe(false);
    expect(addsUp({ exact: { ...exact, lost: '7.0' } })).toBe(false);
    expect(sum(trail({ balance: balance(100, 90, 0, 0) }))).toMatch(/^The numbers do not add up/);
  });
});

describe('the address of a trail', () => {
  const id = '019df3b7-cbd0-7171-b668-e39fe819acb8';
  const read = (address: string) => readAsked(new URL(address, 'http://pages.invalid').searchParams);

  it('can be shared', () => {
    expect(read(trailAddress('farm', id))).toEqual({ from: 'farm', id, way: 'forward' });
    expect(read(trailAddress('lot', id, 'back'))).toEqual({ from: 'lot', id, way: 'back' });
  });

  it('leads back from what left, unless it says otherwise', () => {
    expect(read(`/trail?from=dispatch&id=${id}`)?.way).toBe('back');
    expect(read(`/trail?from=customer&id=${id}&way=forward`)?.way).toBe('forward');
  });

  it('is none when it names nothing that can be followed', () => {
    expect(read('/trail')).toBeNull();
    expect(read(`/trail?from=house&id=${id}`)).toBeNull();
    expect(read('/trail?from=farm&id=7')).toBeNull();
  });
});
