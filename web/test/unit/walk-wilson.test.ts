import { readFileSync } from 'node:fs';

import { describe, expect, it } from 'vitest';

import { atMost } from '../../src/walk/at-most';
import { shareOf, wilson } from '../../src/walk/wilson';

interface Published {
  source: string;
  cases: { x: number; n: number; confidence: number; method: string; lower: number; upper: number; published_4dp: [number, number] | null }[];
}

/** Newcombe RG (1998), Statistics in Medicine 17:857-872, Table I, method 3; see testdata/published/README.md. */
const table = JSON.parse(
  readFileSync(new URL('../../../testdata/published/ci_proportion_newcombe1998.json', import.meta.url), 'utf8'),
) as Published;
const rows = table.cases.filter(({ method, confidence }) => method === 'wilson' && confidence === 0.95);

describe('the Wilson interval', () => {
  it('has rows to be checked against', () => {
    expect(table.source).toContain('Newcombe');
    expect(rows.length).toBeGreaterThan(0);
  });

  it.each(rows)('agrees with the published limits for $x of $n', ({ x, n, lower, upper, published_4dp }) => {
    const found = wilson(x, n);
    expect(found.lower / 100).toBeCloseTo(lower, 9);
    expect(found.upper / 100).toBeCloseTo(upper, 9);
    if (published_4dp) {
      expect(found.lower / 100).toBeCloseTo(published_4dp[0], 4);
      expect(found.upper / 100).toBeCloseTo(published_4dp[1], 4);
    }
  });

  it('says 22.2 % (9.0–45.2) for 4 of 18, as the server does', () => {
    const share = shareOf(4, 18);
    expect([share.infested_percent, share.lower_percent, share.upper_percent].map((percent) => percent.toFixed(1))).toEqual(['22.2', '9.0', '45.2']);
  });

  it('stays within 0 and 100 and holds the share, whatever the counts', () => {
    for (let n = 1; n <= 60; n++) {
      for (let x = 0; x <= n; x++) {
        const { lower, upper } = wilson(x, n);
        expect(lower).toBeGreaterThanOrEqual(0);
        expect(upper).toBeLessThanOrEqual(100);
        expect(lower).toBeLessThanOrEqual((100 * x) / n);
        expect(upper).toBeGreaterThanOrEqual((100 * x) / n);
        // mirrored: as many without as with
        expect(wilson(n - x, n).lower).toBeCloseTo(100 - upper, 9);
      }
    }
  });

  it('rules nothing out when nothing was looked at', () => {
    expect(wilson(0, 0)).toEqual({ lower: 0, upper: 100 });
    expect(shareOf(0, 0).infested_percent).toBe(0);
  });
});

describe('an upper limit in words', () => {
  it('is rounded up, never down', () => {
    expect(atMost(16.1)).toBe(17);
    expect(atMost(4.93)).toBe(5);
    expect(atMost(6.02)).toBeCloseTo(6.1, 9);
    expect(atMost(20)).toBe(20);
  });
});
