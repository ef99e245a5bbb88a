import { describe, expect, it } from 'vitest';

import type { ComparedHouse, HouseComparison } from '../../src/contract.gen';
import { housesAnswer } from '../../src/houses/answer';
import { inOrder } from '../../src/houses/order';
import { addressOf, questionOf, readState } from '../../src/houses/state';
import { unmarked } from '../../src/trends/mark';
import { words } from '../../src/words';
import { dictionaries } from '../../src/words/dictionaries';
import { formatIn } from '../../src/words/format';

const none = { count: 0, of: 0 };

function house(name: string, verdict: ComparedHouse['verdict'], infested: number, plants: number, changes: Partial<ComparedHouse> = {}): ComparedHouse {
  return {
    house_id: name, name, site_id: 'south', site: 'South', verdict, rank: 1,
    share: {
      looks: 4, blocks: 4, plants_looked_at: plants, infested_plants: infested, infested_percent: (100 * infested) / plants,
      lower_percent: 11.7, upper_percent: 28.7, looks_in_doubt: 0, weighted: false,
    },
    like: { strata: 2, plants_looked_at: plants, infested_percent: 19, others_percent: 6, difference_percent: 13, lower_percent: 5, upper_percent: 22, adjusted_p: 0.01 },
    funnel: { plants: 60, percent: 18, lower_percent: 3, upper_percent: 15 },
    walked: {
      looks: 4, plants_looked_at: plants, plant_weeks: 1000, weeks: 1, weeks_walked: 1, weeks_met: 0, crop_share_weeks: 1, block_share_weeks: 1,
      plants_per_block_weeks: 0, timed_looks: 0, seconds: 0,
    },
    observers: [], lots: { under: none, over: 0, cannot_say: 0, no_limit: 0 }, discarded: none, ...changes,
  };
}

function comparison(...houses: ComparedHouse[]): HouseComparison {
  return {
    organism_id: null, season_id: 'one', from_week: '2026-W37', to_week: '2026-W37', weeks: ['2026-W37'], confidence_percent: 95,
    false_discovery_percent: 5, overall_percent: 9, compared: houses.filter(({ verdict }) => /higher|lower|alike/.test(verdict)).length, fewest_effective: 10, houses,
  };
}

const answer = (of: HouseComparison): string => unmarked(housesAnswer(of, { words: words.value, format: formatIn('en') })).replaceAll('\u00a0', ' ');

describe('the sentence over the houses', () => {
  it('says which really differs and which cannot be told apart, with the numbers', () => {
    const said = answer(comparison(house('H4', 'higher', 15, 80), house('H1', 'alike', 6, 80), house('H2', 'alike', 4, 80), house('H7', 'too_few', 1, 5)));
    expect(said).toBe(
      'W37, 3 houses compared: H4 really has more: 15 of 80 · 19 % (12–29) infested plants, 13 points (5 to 22) more than like crops in the other houses (6 %). ' +
        'It is unlikely that any of these differs by chance alone. 2 houses cannot be told apart from the others: H1 and H2. ' +
        'One house tells too little, as much as fewer than 10 plants: H7 (1 of 5).',
    );
  });

  it('does not call houses alike when none can be told apart', () => {
    const said = answer(comparison(house('H1', 'alike', 6, 80), house('H2', 'alike', 4, 80)));
    expect(said).toContain('no house can be told apart');
    expect(said).toContain('does not say that the houses are alike');
  });

  it('names the site where there are several, and no house in which nothing stood', () => {
    const empty = house('H9', 'not_looked', 0, 1, { share: undefined, walked: { ...house('x', 'alike', 1, 2).walked, weeks: 0 } });
    const said = answer(comparison(house('H1', 'lower', 1, 80), house('H2', 'alike', 4, 80, { site_id: 'north', site: 'North' }), empty));
    expect(said).toContain('H1 at South really has less');
    expect(said).toContain('H2 at North');
    expect(said).not.toContain('H9');
  });

  it('is said in Spanish, too', () => {
    const spanish = dictionaries.value.es;
    const said = unmarked(housesAnswer(comparison(house('H4', 'higher', 15, 80), house('H1', 'alike', 6, 80)), { words: { ...words.value, ...spanish }, format: formatIn('es') }));
    expect(said).toContain('H4 tiene de verdad más');
  });
});

describe('the order of the houses', () => {
  it('keeps what is known first, and puts what cannot be said last', () => {
    const list = [
      house('a', 'alike', 15, 80, { like: { strata: 0, plants_looked_at: 0, adjusted_p: 1 }, discarded: { count: 1, of: 100, percent: 1, lower_percent: 0.2, upper_percent: 5 } }),
      house('c', 'higher', 6, 80, { discarded: { count: 10, of: 100, percent: 10, lower_percent: 5.5, upper_percent: 17 } }),
      house('b', 'too_few', 1, 5),
    ];
    const names = (order: Parameters<typeof inOrder>[1]): string => inOrder(list, order).map(({ name }) => name).join('');
    expect(names('known')).toBe('acb');
    expect(names('name')).toBe('abc');
    expect(names('more')).toBe('cba');
    expect(names('lost')).toBe('cab');
  });
});

describe('the address of the houses', () => {
  it('holds site, season, week and order, and reads back the same', () => {
    const id = '01a0a000-c480-777f-908d-de344c31947a';
    const state = { site: id, season: id, week: '2026-W37', order: 'lots' } as const;
    const address = addressOf(state);
    expect(readState(new URLSearchParams(address.split('?')[1]))).toEqual(state);
  });

  it('leaves out what does not fit, and asks for the last finished week where nothing is said', () => {
    const state = readState(new URLSearchParams('site=x&season=1&week=37&sort=worst'));
    expect(state).toEqual({ site: null, season: null, week: null, order: 'known' });
    expect(questionOf(state)).toEqual({ week: 'latest' });
  });
});
