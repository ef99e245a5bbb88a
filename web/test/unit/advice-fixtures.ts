import type { Advice, AdviceList, Decision, DecisionBody, Evidence, TrendLimit, TrendPoint } from '../../src/contract.gen';

export const limit: TrendLimit = { threshold_id: 't', from_on: '2026-09-15', to_on: '2026-09-15', percent: 20, effect: 'act' };

// 12 of 60 at 95 %: 11.8 to 31.8; 0 of 60: 0 to 6.0; 7 of 100: 3.4 to 13.7; 40 of 60: 54.1 to 77.3.
// Wilson's interval, method 3 of Newcombe 1998, Statistics in Medicine 17:857-872, worked by hand.
export function point(infested = 12, looked = 60, lower = 11.8, upper = 31.8, week = '2026-W37'): TrendPoint {
  return {
    week,
    starts_on: '2026-09-07',
    looks: 4,
    blocks: 4,
    plants_looked_at: looked,
    infested_plants: infested,
    infested_percent: (100 * infested) / looked,
    lower_percent: lower,
    upper_percent: upper,
    looks_in_doubt: 0,
  };
}

/** A line as the server sends it for 12 of 60. */
export function line(code: Evidence['code'], finding: Evidence['finding'], more: Partial<Evidence> = {}): Evidence {
  return { code, direction: 'open', ...(finding && { finding }), ...more };
}

export const counted = { infested_plants: 12, plants_looked_at: 60, percent: 20, lower_percent: 11.8, upper_percent: 31.8 };

/** A sheet of 1,200 Frostveil in House 2 of which 12 of 60 are infested, too close to the limit. */
export function advice(more: Partial<Advice> = {}): Advice {
  return {
    cultivar_id: 'c',
    cultivar: 'Frostveil',
    house_id: 'h',
    house: 'House 2',
    site_id: 's',
    foliage: 'light',
    standing_plants: 1200,
    lots: ['l'],
    answer: { code: 'too_close', point: point(), limit },
    evidence: [line('limit', 'too_close', { ...counted, limit_percent: 20, on: '2026-09-15' })],
    suggestion: { code: 'look_at_more', reasons: ['limit'], fewest_plants: 21, likely_plants: 45, cautions: ['rule_of_thumb'] },
    decisions: [],
    ...more,
  };
}

export const list: AdviceList = { organism_id: 'o', season_id: 'n', as_of: '2026-09-09', items: [] };

export const decisionBody: DecisionBody = {
  house_id: 'h',
  cultivar_id: 'c',
  organism_id: 'o',
  season_id: 'n',
  choice: 'stay_biological',
  because: 'wasps at work',
  decided_at: '2026-09-09T09:00:00+02:00',
  figures: { week: '2026-W37', infested_plants: 12, plants_looked_at: 60 },
};

export const decision: Decision = {
  ...decisionBody,
  id: 'd',
  version: 3,
  recorded_at: '2026-09-09T08:00:00Z',
  recorded_by: { id: 'p', name: 'Dana Alder' },
  decided_by: { id: 'p', name: 'Dana Alder' },
  site_id: 's',
};
