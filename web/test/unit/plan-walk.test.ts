import { describe, expect, it } from 'vitest';

import type { Look, Lot, Plan, PlanBlock, PlanRule, PlanStop } from '../../src/contract.gen';
import { countedSince, countsOfDraft, type Count, type CountedFor } from '../../src/walk/counted';
import { newDraft, step, type Draft } from '../../src/walk/draft';
import { cultivarStop, walkOf } from '../../src/walk/plan';
import { closingText } from '../../src/walk/plan-said';
import type { Names } from '../../src/walk/round';
import { usualRules } from '../../src/walk/round-rules';

const recorded = { version: 1, recorded_at: '2026-09-14T05:00:00Z', recorded_by: { id: 'p', name: 'P' } };
const cultivarOf: Record<string, string> = { l1: 'frost', l2: 'frost', l3: 'ember' };
const names: Names = {
  cultivar: () => undefined,
  lot: (id) => (id && cultivarOf[id] ? ({ id, cultivar_id: cultivarOf[id] } as Lot) : undefined),
  organism: () => undefined,
  mainOrganism: () => 'w',
};
const monday: CountedFor = { organism_id: 'w', week: '2026-W38', zone: 'Europe/Madrid', names };

const look = (id: string, lot_id: string | null, plants: number, infested: number, more: Partial<Look> = {}): Look => ({
  id,
  ...recorded,
  block_id: 'b1',
  lot_id,
  looked_at: '2026-09-14T07:00:00+02:00',
  targets: [],
  site_id: 's',
  house_id: 'h',
  looked_on: '2026-09-14',
  week: '2026-W38',
  results: [
    {
      organism_id: 'w',
      plants_looked_at: plants,
      infested_plants: infested,
      infested_percent: 0,
      lower_percent: 0,
      upper_percent: 100,
      confidence_percent: 95,
      method: 'wilson',
    },
  ],
  doubts: [],
  ...more,
});

function draft(id: string, lot_id: string, marks: string, at = '2026-09-14T07:10:00+02:00'): Draft {
  const begun = step(newDraft({ id, site_id: 's', block_id: 'b1', person_id: 'p' }), { do: 'choose_lot', lot_id, organism_id: 'w' });
  return marks.split('').reduce((now, mark) => step(now, { do: 'mark', organism_id: mark === 'x' ? 'w' : null, at }), begun);
}

const total = (counts: readonly Count[]): [plants: number, infested: number] => [
  counts.reduce((sum, { plants }) => sum + plants, 0),
  counts.reduce((sum, { infested }) => sum + infested, 0),
];

describe('what this phone knows beyond the count of the server', () => {
  const known = [look('1', 'l1', 18, 4), look('2', 'l2', 15, 0)];

  it('is nothing while it has only the looks that were counted', () => {
    expect(total(countedSince(known, known, [], monday))).toEqual([0, 0]);
  });

  it('is a look that came since, once', () => {
    expect(total(countedSince([...known, look('3', 'l1', 20, 1)], known, [], monday))).toEqual([20, 1]);
  });

  it('is the difference when a counted look was corrected, withdrawn or made to be on purpose', () => {
    const others = known.slice(1);
    const changed = (more: Partial<Look>, infested = 4) => total(countedSince([look('1', 'l1', 18, infested, { version: 2, ...more }), ...others], known, [], monday));
    expect(changed({}, 6)).toEqual([0, 2]);
    expect(changed({ withdrawn_because: 'wrong block' })).toEqual([-18, -4]);
    expect(changed({ purpose: 'on_purpose' })).toEqual([-18, -4]);
  });

  it('is a draft, finished or in the making', () => {
    expect(total(countedSince(known, known, [draft('9', 'l1', '..x')], monday))).toEqual([3, 1]);
  });

  it('is a draft once, though the server has its look and only the answer was lost', () => {
    const sent = draft('3', 'l1', '..x');
    expect(total(countedSince([...known, look('3', 'l1', 3, 1)], known, [sent], monday))).toEqual([3, 1]);
    const counted = [...known, look('3', 'l1', 3, 1)];
    expect(total(countedSince(counted, counted, [sent], monday))).toEqual([0, 0]);
  });

  it('is only the change while a counted look is being corrected', () => {
    expect(total(countedSince(known, known, [draft('1', 'l1', 'x'.repeat(5) + '.'.repeat(13))], monday))).toEqual([0, 1]);
  });

  it('leaves out looks on purpose, of no known lot, for something else, or of another week', () => {
    const others = [
      look('3', 'l1', 5, 5, { purpose: 'on_purpose' }),
      look('4', null, 5, 5),
      look('5', 'l1', 5, 5, { results: [] }),
      look('6', 'l1', 5, 5, { week: '2026-W37' }),
    ];
    expect(total(countedSince([...known, ...others], known, [], monday))).toEqual([0, 0]);
    expect(countsOfDraft(draft('9', 'l1', 'xx', '2026-09-13T23:59:00+02:00'), monday)).toEqual([]);
    expect(countsOfDraft(step(draft('9', 'l1', 'xx'), { do: 'purpose', purpose: 'on_purpose' }), monday)).toEqual([]);
  });
});

const block = (block_id: string, ...looks: [lot_id: string, plants: number, done: number][]): PlanBlock => ({
  block_id,
  panel: false,
  minutes: 5,
  looks: looks.map(([lot_id, plants, done_plants]) => ({
    lot_id,
    cultivar_id: cultivarOf[lot_id] ?? '',
    standing: 300,
    plants,
    done_plants,
    positions: [],
    reasons: ['turn'],
  })),
});

/** Made up: below from 30 plants on with none, above from 4 on. */
const frost: PlanStop = {
  cultivar_id: 'frost',
  plants_least: 30,
  acceptable_percent: 5,
  action_percent: 20,
  lines: Array.from({ length: 60 }, (_, i) => ({ plants: i + 1, below_if_at_most: i + 1 < 30 ? null : 0, above_if_at_least: i + 1 < 4 ? null : 4 })),
  below_at_maximum: 2,
  done_plants: 18,
  done_infested: 0,
  code: 'more',
};

const plan: Plan = {
  house_id: 'h',
  week: '2026-W38',
  seed: '1',
  minutes: 20,
  plants: 45,
  standing: 1200,
  blocks_with_plants: 4,
  rules: [
    { rule: 'crop_share', asked: 60, planned: 45, done: 18, kept: false, met: false, minutes_more: 4 },
    { rule: 'block_share', asked: 2, planned: 2, done: 1, kept: true, met: false },
  ],
  blocks: [block('b1', ['l1', 15, 18]), block('b2', ['l2', 15, 0], ['l3', 15, 0])],
  stops: [frost],
};

const count = (block_id: string, lot_id: string, plants: number, infested = 0): Count => ({
  block_id,
  lot_id,
  cultivar_id: cultivarOf[lot_id] ?? '',
  plants,
  infested,
});

describe('a plan as it is walked', () => {
  it('adds what this phone knows to what the server had counted', () => {
    const walk = walkOf(plan, [count('b2', 'l2', 9)], 15);
    expect(walk.asked.get('b1')?.map(({ done }) => done)).toEqual([18]);
    expect(walk.asked.get('b2')?.map(({ done }) => done)).toEqual([9, 0]);
    expect(walk.visited).toBe(1);
    expect(walk.finished).toBe(false);
  });

  it('is enough for a cultivar only once its planned blocks are visited', () => {
    const at = (...since: Count[]) => cultivarStop(plan, frost, since, 15);
    expect(at().enough).toEqual({ code: 'blocks', blocks: 2, left: 1, least: 15 });
    expect(at(count('b1', 'l1', 20)).enough).toMatchObject({ code: 'blocks', left: 1 });
    expect(at(count('b2', 'l3', 20)).enough).toMatchObject({ code: 'blocks', left: 1 }); // another cultivar
    expect(at(count('b2', 'l2', 15))).toMatchObject({ plants: 33, infested: 0, enough: { code: 'below' } });
    expect(at(count('b2', 'l2', 15, 4)).enough).toEqual({ code: 'above' });
    expect(at(count('b2', 'l2', 15, 2)).enough).toEqual({ code: 'more', more: 2 });
  });

  it('asks no more plants of a block than the plan could give it', () => {
    const short: Plan = { ...plan, blocks: [block('b1', ['l1', 15, 18]), block('b2', ['l2', 8, 0])] };
    expect(cultivarStop(short, { ...frost, plants_least: 20 }, [count('b2', 'l2', 8)], 15).enough).toMatchObject({ code: 'more' });
    expect(cultivarStop(short, frost, [count('b2', 'l2', 8)], 15).enough).toEqual({ code: 'plants', least: 30, more: 4 });
  });

  it('counts for a cultivar what was found in the whole house, but visits only in its planned blocks', () => {
    expect(cultivarStop(plan, frost, [count('b9', 'l1', 15, 1)], 15)).toMatchObject({ plants: 33, infested: 1, enough: { code: 'blocks', left: 1 } });
  });

  it('adds the plants of every block of the house to the share of the crop', () => {
    const share = (...since: Count[]) => walkOf(plan, since, 15).rules[0];
    expect(share(count('b9', 'l1', 41))).toMatchObject({ done: 59, met: false });
    expect(share(count('b9', 'l1', 42))).toMatchObject({ done: 60, met: true });
  });

  it('meets every rule that it keeps once it was walked to its end, and no other', () => {
    const walk = walkOf(plan, [count('b2', 'l2', 15), count('b2', 'l3', 15)], 15);
    expect(walk.finished).toBe(true);
    expect(walk.rules.map(({ rule, met, done }) => [rule, met, done])).toEqual([
      ['crop_share', false, 48],
      ['block_share', true, 2],
    ]);
  });
});

describe('the rules as they are walked without a network', () => {
  const rule = (name: PlanRule['rule'], asked: number, planned: number, more: Partial<PlanRule> = {}): PlanRule => ({
    rule: name,
    asked,
    planned,
    done: 0,
    kept: planned >= asked,
    met: false,
    ...more,
  });
  const panel = (is: PlanBlock): PlanBlock => ({ ...is, panel: true });
  const open: Plan = {
    ...plan,
    blocks: [panel(block('b1', ['l1', 20, 0])), panel(block('b2', ['l2', 20, 0], ['l3', 20, 0]))],
    stops: [],
    rules: [
      rule('crop_share', 40, 60),
      rule('block_share', 2, 2),
      rule('plants_per_block', 15, 20),
      rule('panel', 2, 2),
      rule('cultivars', 2, 2),
      rule('arrivals', 2, 2),
    ],
  };
  const shipmentOf = (lot: string): string => (lot === 'l2' ? 'second' : 'first');
  const said = (of: Plan, since: Count[], shipments?: (lot: string) => string) =>
    Object.fromEntries(walkOf(of, since, 15, shipments).rules.map(({ rule: name, done, met, counted }) => [name, counted ? `${done} ${met ? 'met' : 'open'}` : 'not counted']));
  const nearlyAll = [count('b1', 'l1', 19), count('b2', 'l2', 20), count('b2', 'l3', 3)];

  it('are counted from the planned blocks and lots that were looked at, though a plant is short', () => {
    expect(said(open, nearlyAll, shipmentOf)).toEqual({
      crop_share: '42 met',
      block_share: '2 met',
      plants_per_block: '19 met',
      panel: '2 met',
      cultivars: '2 met',
      arrivals: '2 met',
    });
  });

  it('are open where they are counted and not met', () => {
    expect(said(open, nearlyAll.slice(0, 1), shipmentOf)).toMatchObject({ block_share: '1 open', panel: '1 open', cultivars: '1 open', arrivals: '1 open' });
  });

  it('are not counted where the phone cannot tell', () => {
    expect(said(open, nearlyAll)).toMatchObject({ arrivals: 'not counted' });
    expect(said(open, [count('b1', 'l1', 3)], shipmentOf)).toMatchObject({ plants_per_block: 'not counted' });
    // One block out of the plan was counted by the server: whether it is the one looked at just now is not known.
    const elsewhere: Plan = { ...open, rules: [rule('block_share', 3, 2, { done: 1 }), rule('panel', 3, 2, { done: 1 })] };
    expect(said(elsewhere, [count('b1', 'l1', 20), count('b2', 'l2', 20)])).toEqual({ block_share: 'not counted', panel: 'not counted' });
    expect(said(elsewhere, [count('b1', 'l1', 20)])).toEqual({ block_share: '1 open', panel: '1 open' });
    const cultivars: Plan = { ...open, rules: [rule('cultivars', 3, 2), rule('panel', 3, 2)] };
    expect(said(cultivars, [...nearlyAll, { ...count('b9', 'l9', 5), cultivar_id: 'other' }])).toEqual({ cultivars: 'not counted', panel: 'not counted' });
  });

  it('never fall below what the server had counted, and are its own while nothing came since', () => {
    const counted: Plan = { ...open, rules: [rule('block_share', 3, 2, { done: 5, met: true }), rule('plants_per_block', 15, 20, { done: 3 })] };
    expect(said(counted, nearlyAll)).toEqual({ block_share: '5 met', plants_per_block: 'not counted' });
    expect(said(counted, [])).toEqual({ block_share: '5 met', plants_per_block: '3 open' });
  });

  it('are said met, not met or not counted, each once', () => {
    const short: Plan = { ...open, rules: [...open.rules.slice(1, 3), rule('crop_share', 90, 60)] };
    const { rules } = walkOf(short, [count('b1', 'l1', 3), count('b2', 'l2', 20)], 15);
    expect(closingText(rules, usualRules).replace(/\s/g, ' ')).toBe('Met: 50 % of the blocks. Not met: 5 % of the plants. Not counted yet: 15 to 20 plants in each block.');
  });
});
