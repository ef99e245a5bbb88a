import { readFileSync } from 'node:fs';

import { describe, expect, it } from 'vitest';

import { adviseSample } from '../../src/dock/inspection/advise';
import { logOverlooked, ruledOut, sampleToDetect, unitsAt } from '../../src/local/detect';

interface Published<Case> {
  cases: Case[];
}

const published = <Case>(name: string): Case[] =>
  (JSON.parse(readFileSync(new URL(`../../../testdata/published/${name}.json`, import.meta.url), 'utf8')) as Published<Case>).cases;

interface Ispm {
  lot: number;
  level_of_detection: number;
  confidence: number;
  infested_units_A: number;
  n_exact: number | null;
}

interface WithEfficacy {
  lot: number;
  level_of_detection: number;
  efficacy: number;
  confidence: number;
  D: number;
  n_exact_bernoulli_detection: number | null;
}

describe('how many plants to look at, worked out on the phone', () => {
  it.each(['ispm31_table1_hypergeometric_95_99', 'ispm31_table2_hypergeometric_80_90'])('agrees with every cell of %s', (table) => {
    const cells = published<Ispm>(table);
    expect(cells.length).toBeGreaterThan(100);
    for (const { lot, level_of_detection, confidence, infested_units_A, n_exact } of cells) {
      expect(sampleToDetect(lot, level_of_detection, confidence, 1), `${lot} ${level_of_detection} ${confidence}`).toMatchObject({
        units: n_exact,
        infestedUnits: infested_units_A,
        reason: n_exact === null ? 'no_infested_unit' : null,
      });
    }
  });

  it('agrees with the exact answers where not every infested plant is recognised', () => {
    const cells = published<WithEfficacy>('hypergeometric_with_efficacy');
    expect(cells.length).toBeGreaterThan(20);
    for (const { lot, level_of_detection, efficacy, confidence, D, n_exact_bernoulli_detection } of cells) {
      const found = sampleToDetect(lot, level_of_detection, confidence, efficacy);
      expect(found, `${lot} ${level_of_detection} ${efficacy} ${confidence}`).toMatchObject({ units: n_exact_bernoulli_detection, infestedUnits: D });
    }
  });

  it('adds up to the chances counted out one by one', () => {
    const choose = (n: number, k: number): number => (k < 0 || k > n ? 0 : Array.from({ length: k }, (_, i) => (n - i) / (i + 1)).reduce((a, b) => a * b, 1));
    for (const [lot, infested, examined] of [
      [12, 3, 5],
      [12, 9, 8],
      [20, 20, 6],
      [7, 2, 7],
    ] as const) {
      for (const sensitivity of [0.3, 0.8, 1]) {
        let chance = 0;
        for (let i = 0; i <= infested; i++) chance += ((choose(infested, i) * choose(lot - infested, examined - i)) / choose(lot, examined)) * (1 - sensitivity) ** i;
        expect(Math.exp(logOverlooked(lot, infested, examined, sensitivity))).toBeCloseTo(chance, 12);
      }
    }
  });

  it('rules out what a sample of that size is asked for', () => {
    for (const lot of [40, 300, 5_000]) {
      for (const examined of [10, 40, 57]) {
        const share = ruledOut(lot, Math.min(examined, lot), 0.95, 1);
        expect(share).not.toBeNull();
        expect(sampleToDetect(lot, share ?? 1, 0.95, 1).units).toBeLessThanOrEqual(examined);
      }
    }
    expect(ruledOut(1_000, 2, 0.95, 0.5)).toBeNull(); // too few to rule out anything
  });

  it('reads a level in decimals as it is meant', () => {
    expect(unitsAt(100, 0.29)).toBe(29);
    expect(unitsAt(1_000, 5 / 100)).toBe(50);
    expect(unitsAt(50, 0.01)).toBe(0);
  });

  it('tells the sample as the server does', () => {
    const advice = adviseSample({ id: 'l', plants: 1_000 }, { detection: 5, confidence: 95, sensitivity: 100 });
    expect(advice).toMatchObject({ lot_size: 1_000, plants: 57, infested_units: 50, method: 'hypergeometric', reasons: [{ code: 'finds_level' }] });
    expect(advice.reasons[0]?.numbers?.confidence_reached_percent).toBeGreaterThanOrEqual(95);
    expect(adviseSample({ id: 'l', plants: 10 }, { detection: 5, confidence: 95, sensitivity: 100 })).toMatchObject({ plants: null, reasons: [{ code: 'no_infested_unit' }] });
  });
});
