import { describe, expect, it } from 'vitest';

import type { Contact, Lot, Rate, Shipment, StrikeGroup, TrailExit } from '../../src/contract.gen';
import { byPlace, foundText } from '../../src/trail/reach/contacts';
import { discards } from '../../src/trail/reach/discards';
import { byLevel, doubtful, holdReaches } from '../../src/trail/reach/read';
import { findables, found } from '../../src/trail/start/find';
import { byCertainLoss, isThin, strikesAnswer, surelyLess } from '../../src/trail/strikes/order';
import { unmarked } from '../../src/trends/mark';
import * as en from '../../src/words/en';
import { formatIn } from '../../src/words/format';
import { lot, names, stands, trail } from './trail-fixtures';

const english = { words: en, format: formatIn('en') };
const plain = (text: string): string => unmarked(text).replaceAll('\u00a0', ' ');
const rate = (count: number, of: number, lower = 0, upper = 100): Rate => (of === 0 ? { count, of } : { count, of, percent: (100 * count) / of, lower_percent: lower, upper_percent: upper });

describe('strike and loss', () => {
  const groups: StrikeGroup[] = [
    { key: 'few', lots: 1, strike: rate(0, 0), loss: rate(3, 10, 11, 60) },
    { key: 'many', lots: 9, strike: rate(900, 1000, 88, 92), loss: rate(2000, 10_000, 19, 21) },
    { key: 'none', lots: 1, strike: rate(0, 0), loss: rate(0, 0) },
    { key: 'good', lots: 5, strike: rate(95, 100, 89, 98), loss: rate(10, 1000, 0.5, 1.8) },
  ];

  it('stand in the order of the lower limit, so that three of ten do not come before a fifth of ten thousand', () => {
    expect(byCertainLoss(groups).map(({ key }) => key)).toEqual(['many', 'few', 'good', 'none']);
  });

  it('say who lost most for certain and whether others may have lost as much', () => {
    expect(plain(strikesAnswer(groups, ({ key }) => key, english))).toBe(
      'many lost most for certain: 2,000 of 10,000 · 20 % (19–21), so at least 19 %. That is more than 1 of the 2 others may have lost. Of all cuttings whose roots were counted, 995 of 1,100 had roots.',
    );
    expect(surelyLess(groups[0] as StrikeGroup, groups)).toBe(1);
  });

  it('look thin where they rest on few plants', () => {
    expect(groups.map(({ loss }) => isThin(loss))).toEqual([true, false, true, false]);
  });
});

describe('what stood near', () => {
  const contact = (code: string, level: Contact['level'], days: number): Contact => ({
    ...{ lot_id: code, code, cultivar_id: 'c1', level, place_id: 'a', from: '2026-08-04T08:00:00Z', days, still: true },
    ...{ found_on_it: rate(0, 0), found_on_these: rate(0, 0) },
  });

  it('is read nearest first, then the longest together', () => {
    const levels = byLevel([contact('1', 'house', 90), contact('2', 'block', 2), contact('3', 'block', 9), contact('4', 'water', 1)]);
    expect(levels.map(({ level, contacts }) => [level, contacts.map(({ code }) => code)])).toEqual([
      ['block', ['3', '2']],
      ['water', ['4']],
      ['house', ['1']],
    ]);
  });

  it('is listed by place where only the house was shared, places and codes in order', () => {
    const near = [{ ...contact('31-10', 'house', 3), place_id: 'House 10' }, contact('31-9', 'house', 2), { ...contact('31-2', 'house', 1), place_id: 'House 10' }];
    expect(byPlace(near, ({ place_id: place }) => place)).toEqual([
      ['a', ['31-9']],
      ['House 10', ['31-2', '31-10']],
    ]);
  });

  it('says how many there may be where none was found, and nothing of what nobody looked at', () => {
    expect(plain(foundText(rate(12, 60, 12, 32), english))).toBe('12 of 60 · 20 % (12–32)');
    expect(plain(foundText(rate(0, 60, 0, 6), english))).toBe('0 of 60, with 95 % confidence fewer than 6 %');
    expect(foundText(rate(0, 0), english)).toBe('not looked at');
  });
});

describe('the answer for a plant health authority', () => {
  const reached = trail({ lots: [lot('a1', 100, { placed: 100 })], placements: [stands('a1', 'a', 100), { ...stands('a1', 'd', 100), to: '2026-08-10T08:00:00Z' }] });
  const on = (scope: 'lot' | 'shipment' | 'house' | 'site', scope_id: string) => holdReaches({ scope, scope_id }, reached, names);

  it('names the holds on these plants where they stand now', () => {
    expect([on('lot', 'a1'), on('shipment', 's1'), on('house', 'h2'), on('site', 'site')]).toEqual([true, true, true, true]);
    expect([on('lot', 'b7'), on('house', 'h4'), holdReaches({ scope: 'lot', scope_id: 'a1', withdrawn_because: 'wrong lot' }, reached, names)]).toEqual([false, false, false]);
  });

  it('gives a reason for every lot that cannot be ruled out', () => {
    const open = trail({ lots: [lot('a1', 9), lot('a2', 9, {}, { certain: false })], cannot_rule_out: [lot('u1', 9, {}, { certain: false }), lot('u2', 9, {}, { certain: false, shipment_id: null })] });
    expect(doubtful(open).map(({ lot: { lot_id: id }, why }) => [id, why])).toEqual([
      ['a2', 'several'],
      ['u1', 'unknown'],
      ['u2', 'descends'],
    ]);
  });

  it('lists discards with a record one by one and sums the others by lot', () => {
    const exit = (id: string, lotId: string, plants: number, more: Partial<TrailExit> = {}): TrailExit => ({ movement_id: id, kind: 'discard', lot_id: lotId, at: `2026-08-0${id}T08:00:00Z`, plants, reason: 'wilted', ...more });
    expect(discards([exit('1', 'a1', 5), exit('2', 'a1', 7, { reason: 'broken' }), exit('3', 'a1', 11, { paper_number: 'DR-1' }), exit('4', 'a2', 2, { kind: 'dispatch' })])).toMatchObject([
      { plants: 11, record: 'DR-1' },
      { plants: 12, record: '', reasons: ['wilted', 'broken'], first: '2026-08-01T08:00:00Z', last: '2026-08-02T08:00:00Z' },
    ]);
  });
});

describe('looking for what to follow', () => {
  const recorded = { version: 1, recorded_at: '2026-06-01T00:00:00Z', recorded_by: { id: 'p', name: 'Odrun' } };
  const shipment: Shipment = { ...recorded, id: 's1', site_id: 'site', supplier_id: 'u1', expected_on: '2026-08-03', arrived_on: '2026-08-03', lots: 1, lots_inspected: 0, papers: [{ kind: 'order', number: 'PO-2026-041' }] };
  const arrived: Lot = { ...recorded, id: 'l1', site_id: 'site', season_id: 'z', crop_id: 'r', cultivar_id: 'c1', arrived_on: '2026-08-03', plants: 9, plants_on_hand: 9, code: '31-02', supplier_lot_code: 'A31-77', shipment_id: 's1' };
  const deliveries = [{ customer: { ...recorded, id: 'k1', name: 'Bexley' }, exit: { movement_id: 'm1', kind: 'dispatch' as const, lot_id: 'l1', at: '2026-09-01T08:00:00Z', plants: 9, paper_number: 'DN-26001' } }];
  const all = findables({ names, shipments: [shipment], lots: [arrived], deliveries }, english);
  const hits = (text: string): string[] => found(all, text).flatMap(({ kind, shown }) => shown.map(({ id }) => `${kind} ${id}`));

  it('finds by name, code, day and the number of a paper', () => {
    expect(hits('tolm')).toEqual(['farm f1']);
    expect(hits('po-2026-041')).toEqual(['shipment s1']);
    expect(hits('3 Aug varnholt')).toEqual(['shipment s1']);
    expect(hits('2026-08-03')).toEqual(['shipment s1', 'lot l1']);
    expect(hits('a31-77')).toEqual(['lot l1']);
    expect(hits('dn-26001')).toEqual(['dispatch m1']);
  });

  it('shows first what begins with the words as they were written', () => {
    expect(hits('House 4 E')).toEqual(['block e', 'block d']);
  });

  it('finds nothing before anything is asked', () => {
    expect(hits('  ')).toEqual([]);
  });
});
