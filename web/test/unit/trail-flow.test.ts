import { describe, expect, it } from 'vitest';

import { flowOf, type Flow } from '../../src/trail/flow/graph';
import { grouped, mostLots } from '../../src/trail/flow/group';
import { layOut } from '../../src/trail/flow/layout';
import { lot, stands, trail, went } from './trail-fixtures';

const linksOf = ({ links }: Flow): string[] => links.map(({ from, to, plants }) => `${from} > ${to}: ${plants}`).toSorted();
const into = ({ links }: Flow, key: string): number => links.filter(({ to }) => to === key).reduce((sum, { plants }) => sum + plants, 0);
const outOf = ({ links }: Flow, key: string): number => links.filter(({ from }) => from === key).reduce((sum, { plants }) => sum + plants, 0);

const split = trail({
  lots: [
    lot('a1', 700, { placed: 400, split_off: 200, dispatched: 60, discarded: 40 }),
    lot('m1', 300, { placed: 293, lost: 7 }, { shipment_id: null, percent: 66.7, held: true }),
  ],
  links: [{ from_lot_id: 'a1', to_lot_id: 'm1', movement_id: 'x', at: '2026-08-20T08:00:00Z', plants: 200 }],
  placements: [stands('a1', 'a', 400), stands('m1', 'd', 293), { ...stands('a1', 'b', 500), to: '2026-08-10T08:00:00Z' }],
  exits: [went('a1', 'k1', 60)],
});

describe('the flow of a trail', () => {
  it('leads plants from shipments through lots to where they are now, and not to where they stood before', () => {
    expect(linksOf(flowOf(split))).toEqual([
      'lot a1 > block a: 400',
      'lot a1 > customer k1: 60',
      'lot a1 > discarded: 40',
      'lot a1 > lot m1: 200',
      'lot m1 > block d: 293',
      'lot m1 > missing: 7',
      'others > lot m1: 100',
      'shipment s1 > lot a1: 700',
    ]);
  });

  it('lets as many plants out of a lot as came into it', () => {
    const flow = flowOf(split);
    for (const { key } of flow.nodes.filter(({ kind }) => kind === 'lot')) expect(outOf(flow, key), key).toBe(into(flow, key));
  });

  it('asked back from a customer, draws only the plants that went that way', () => {
    const back = trail({ ...split, from: 'customer', id: 'k1', way: 'back', lots: split.lots.slice(0, 1), links: [], exits: [went('a1', 'k1', 60)] });
    expect(linksOf(flowOf(back))).toEqual(['lot a1 > customer k1: 60', 'shipment s1 > lot a1: 60']);
  });

  it('asked back from a lot, draws what its parents gave and all that became of itself', () => {
    const back = trail({ ...split, from: 'lot', id: 'm1', way: 'back' });
    expect(linksOf(flowOf(back))).toEqual([
      'lot a1 > lot m1: 200',
      'lot m1 > block d: 293',
      'lot m1 > missing: 7',
      'others > lot m1: 100',
      'shipment s1 > lot a1: 200',
    ]);
  });
});

const many = (n: number): ReturnType<typeof trail> => {
  const lots = Array.from({ length: n }, (_, i) => lot(`l${i}`, 100 + i, { placed: 100 + i }, i === 0 ? { held: true } : {}));
  return trail({ lots, placements: lots.map((one, i) => stands(one.lot_id, `b${i}`, one.on_hand)) });
};

describe('a flow of many lots', () => {
  it('stays as it is up to forty lots', () => {
    expect(grouped(flowOf(many(mostLots)), () => 'h2').nodes.filter(({ kind }) => kind === 'lot')).toHaveLength(mostLots);
  });

  it('puts the smallest together beyond that, never a held one, and loses no plant', () => {
    const whole = flowOf(many(50));
    const flow = grouped(whole, () => 'h2');
    const lots = flow.nodes.filter(({ kind }) => kind === 'lot');
    expect(lots).toHaveLength(mostLots + 1);
    const more = lots.find(({ records }) => records > 1);
    expect(more).toMatchObject({ id: '', records: 10, held: 0 });
    expect(lots.some(({ id, held }) => id === 'l0' && held === 1)).toBe(true);
    expect(outOf(flow, more?.key ?? '')).toBe(Array.from({ length: 10 }, (_, i) => 101 + i).reduce((a, b) => a + b));
    expect(outOf(flow, 'shipment s1')).toBe(outOf(whole, 'shipment s1'));
  });

  it('shows houses where blocks are many', () => {
    const flow = grouped(flowOf(many(20)), (id) => (id === 'b3' ? 'h4' : 'h2'));
    expect(flow.nodes.filter(({ kind }) => kind === 'block')).toEqual([]);
    expect(flow.nodes.find(({ key }) => key === 'house h2')).toMatchObject({ records: 19 });
    expect(into(flow, 'house h4')).toBe(103);
  });

  it('puts parents and their children into groups of their own, so that nothing runs in a circle', () => {
    const parents = Array.from({ length: 45 }, (_, i) => lot(`p${i}`, 100, { split_off: 100 }));
    const children = Array.from({ length: 45 }, (_, i) => lot(`q${i}`, 100, { placed: 100 }, { shipment_id: null }));
    const links = parents.map((one, i) => ({ from_lot_id: one.lot_id, to_lot_id: `q${i}`, movement_id: `x${i}`, at: '2026-08-20T08:00:00Z', plants: 100 }));
    const flow = grouped(flowOf(trail({ lots: [...parents, ...children], links, placements: children.map((one) => stands(one.lot_id, 'a', 100)) })), () => 'h2');
    expect(flow.links.every(({ from, to }) => from !== to)).toBe(true);
    expect(layOut(flow, 800)).not.toBeNull();
  });
});

describe('the picture of a flow', () => {
  it('draws widths in proportion to the plants', () => {
    const layout = layOut(flowOf(split), 900);
    const width = (to: string): number => layout?.links.find((link) => link.to === to)?.width ?? 0;
    expect(width('block a') / width('lot m1')).toBeCloseTo(2, 5);
  });

  it('leaves every label a line of its own, with forty lots too', () => {
    const layout = layOut(grouped(flowOf(many(40)), () => 'h2'), 390);
    const middles = (layout?.nodes ?? [])
      .filter(({ kind }) => kind === 'lot')
      .map(({ y, height }) => y + height / 2)
      .toSorted((a, b) => a - b);
    expect(middles).toHaveLength(40);
    for (const [i, middle] of middles.entries()) if (i > 0) expect(middle - (middles[i - 1] ?? 0)).toBeGreaterThanOrEqual(15);
    expect(layout?.width).toBeGreaterThan(390);
  });

  it('is nothing where no plant flows', () => {
    expect(layOut(flowOf(trail()), 900)).toBeNull();
  });
});
