import { describe, expect, it } from 'vitest';

import type { ReviewFigures, ReviewGroup, SeasonReview, TrendPoint } from '../../src/contract.gen';
import { claimsText, groupName, inOrder, overText, reviewAnswer } from '../../src/season/review';
import { addressOf, fileAddress, readState } from '../../src/season/state';
import { unmarked } from '../../src/trends/mark';
import { words } from '../../src/words';
import { formatIn } from '../../src/words/format';

const nothing = { count: 0, of: 0 };

const peak = (infested: number, plants: number, lower: number, week = '2026-W37'): TrendPoint => ({
  week, starts_on: '2026-09-07', looks: 4, blocks: 4, plants_looked_at: plants, infested_plants: infested, infested_percent: (100 * infested) / plants,
  lower_percent: lower, upper_percent: lower + 17, looks_in_doubt: 0,
});

function figures(changes: Partial<ReviewFigures>): ReviewFigures {
  return {
    lots: 1, plants_received: 500, dock: nothing, second_look: nothing, strike: nothing, loss: nothing, weeks_looked: 0, weeks_judged: 0, weeks_over: 0,
    dispatched: 0, standing: 500, claims: { claims: 0, answered: 0, shared: 0, plants: 0, granted: [] }, ...changes,
  };
}

const group = (key: string, now: ReviewFigures, last?: ReviewFigures): ReviewGroup => ({ key, label: key.toUpperCase(), sub_label: '', now, ...(last && { last }) });

const few = group('few', figures({ peak: peak(1, 5, 3.6), loss: { count: 1, of: 5, percent: 20, lower_percent: 3.6, upper_percent: 62 } }));
const many = group('many', figures({ peak: peak(15, 80, 11.7), loss: { count: 15, of: 80, percent: 18.75, lower_percent: 11.7, upper_percent: 28.7 } }));
const never = group('never', figures({}));

function review(whole: ReviewGroup): SeasonReview {
  return { by: 'supplier', organism_id: null, season_id: 'one', season_year: 2026, last_season_year: 2025, groups: [few, many, never], whole };
}

const speech = { words: words.value, format: formatIn('en') };
const answer = (of: SeasonReview): string => unmarked(reviewAnswer(of, speech)).replaceAll('\u00a0', ' ');

describe('the sentence over a season', () => {
  it('says what is known for certain, with the counts, so that a handful of plants never leads', () => {
    const said = answer(review(group('', figures({ peak: peak(16, 85, 12), weeks_judged: 9, weeks_over: 3, weeks_looked: 11 }))));
    expect(said).toContain('Season 2026: most was infested for certain in W37, 16 of 85');
    expect(said).toContain('there is no season before');
    expect(said).toContain('in 3 of 9 weeks that had one.');
    expect(said).toContain('Highest for certain: MANY, W37, 15 of 80 · 19 % (12–29).');
    expect(said).toContain('Most lost for certain: MANY, 15 of 80');
  });

  it('holds the season against the one before', () => {
    const said = answer(review(group('', figures({ peak: peak(16, 85, 12) }), figures({ peak: peak(6, 60, 4.7, '2025-W36'), weeks_judged: 4, weeks_over: 1 }))));
    expect(said).toContain('; in 2025 it was W36, 6 of 60 · 10 % (5–22).');
  });
});

describe('the groups of a season', () => {
  it('come by what is known, those not looked at last', () => {
    expect(inOrder([never, few, many], 'peak').map(({ key }) => key)).toEqual(['many', 'few', 'never']);
    expect(inOrder([never, few, many], 'loss').map(({ key }) => key)).toEqual(['many', 'few', 'never']);
  });

  it('are named, also where they have none', () => {
    expect(groupName({ key: '', label: '' }, 'farm', speech)).toBe('Farm not known');
    expect(groupName({ key: 'mixed', label: '' }, 'farm', speech)).toBe('Mixed lots');
    expect(groupName({ key: '2026-08-10', label: '2026-08-10' }, 'arrival', speech).replaceAll('\u00a0', ' ')).toBe('10 Aug 2026');
  });

  it('tell what a claim brought, and what was not shared out', () => {
    const claims = { claims: 2, answered: 1, shared: 1, plants: 40, granted: [{ amount: '35.50', currency: 'USD' }] };
    expect(claimsText(figures({ claims }), speech).map((line) => line.replaceAll('\u00a0', ' '))).toEqual(['2 claims, 40 plants', '1 of 2 answered', '35.50 USD', '1 about others too, not shared out']);
    expect(overText(figures({ weeks_looked: 4 }), speech)).toEqual(['no week had a limit', 'looked at in 4']);
  });
});

describe('the address of a season', () => {
  it('reads back the same, for the page and its files', () => {
    const id = '01a0a000-c480-777f-908d-de344c31947a';
    const state = { by: 'house', season: id, site: id, order: 'loss' } as const;
    expect(readState(new URLSearchParams(addressOf(state).split('?')[1]))).toEqual(state);
    expect(fileAddress(state, 'xlsx')).toBe(`/api/v1/season-review/xlsx?by=house&season_id=${id}&site_id=${id}`);
    expect(readState(new URLSearchParams('by=sun&sort=worst'))).toEqual({ by: 'supplier', season: null, site: null, order: 'peak' });
  });
});
