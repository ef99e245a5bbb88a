import { describe, expect, it } from 'vitest';

import type { WeekLot, WeekReading, WeekSection } from '../../src/contract.gen';
import { unmarked } from '../../src/trends/mark';
import { adviceOf, adviceText, chanceSentence, changeText, lotAnswer, othersText, placesText, sectionAnswer, sharedLimit } from '../../src/week/sentences';
import { addressOf, allSections, readState, sectionOf, shownSections } from '../../src/week/state';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';
import { advice, limit, point } from './advice-fixtures';

const english = { words: en, format: formatIn('en') };
const spanish = { words: es, format: formatIn('es') };
const plain = (text: string): string => unmarked(text).replaceAll('\u00a0', ' ');

const missed = [{ house_id: 'h', house: 'House 4', block_id: 'b', block: '4-01' }];
const round = { week: '2026-W37', blocks: 24, blocks_done: 23, plants: 465, plants_done: 440, minutes: 129, missed };

function section(more: Partial<WeekSection> = {}): WeekSection {
  return {
    section_id: 'one',
    name: 'North',
    grower_id: 'me',
    grower: 'Halvi',
    lots: 41,
    counts: { over: 1, heading_over: 0, near: 2, unsettled: 3, below: 35, no_limit: 0, not_looked_at: 0 },
    plants_looked_at: 629,
    infested_plants: 62,
    blocks_looked_at: 34,
    round,
    plan: round,
    signs_plants_looked_at: 279,
    adults: [{ house_id: 'h', house: 'House 4', plants: 18, plants_looked_at: 279 }],
    listed: [],
    more_listed: 0,
    decisions: [],
    ...more,
  };
}

function lot(more: Partial<WeekLot> = {}): WeekLot {
  return {
    lot_id: 'l',
    code: '28-06',
    cultivar_id: 'c',
    cultivar: 'Frostveil',
    concern: 'near',
    standing_plants: 900,
    places: missed,
    houses: ['h'],
    points: [point()],
    limits: [limit],
    answer: { code: 'too_close', point: point(), limit },
    change: { since_week: '2026-W36', points: 11.9, lower_points: -1.1, upper_points: 24.4 },
    over_limit_percent: 62,
    over_limit_on: '2026-09-15',
    ...more,
  };
}

describe('the sentence of a section', () => {
  it('counts lots, missed blocks and houses with adults on new growth', () => {
    expect(plain(sectionAnswer(section(), english))).toBe(
      '3 of 41 lots are over or near the limit: 1 over it and 2 too close to call; 1 of 24 planned blocks was missed; adults on new growth in House 4 (18 of 279 plants).',
    );
  });

  it('says the same in Spanish', () => {
    expect(plain(sectionAnswer(section(), spanish))).toBe(
      '3 de 41 lotes están por encima o cerca del límite: 1 por encima y 2 demasiado cerca para saberlo; faltó 1 de 24 bloques previstos; adultos en brotes nuevos en House 4 (18 de 279 plantas).',
    );
  });

  it('never takes signs that nobody looked for as none', () => {
    const none = { over: 0, heading_over: 0, near: 0, unsettled: 0, below: 41, no_limit: 0, not_looked_at: 0 };
    expect(plain(sectionAnswer(section({ counts: none, adults: [] }), english))).toBe(
      'None of 41 lots is over its limit, on the way there or too close to call; 1 of 24 planned blocks was missed; no adults noted on new growth of 279 plants.',
    );
    expect(plain(sectionAnswer(section({ adults: [], signs_plants_looked_at: 0 }), english))).toContain('signs were not looked for');
  });

  it('says how the other lots stand, those of which too little is known by themselves', () => {
    expect(plain(othersText(section(), 'whitefly', english))).toBe(
      'Of the other lots, 35 are below it or expected to stay there and of 3 too few plants were looked at to tell. Looked at in the week: 62 of 629 plants with whitefly, in 34 blocks.',
    );
  });
});

describe('a lot of the list', () => {
  it('is said with counts, range and limit', () => {
    expect(plain(lotAnswer(lot(), 'whitefly', true, english))).toBe('W37: 12 of 60 plants have whitefly, 20 % (12–32). Limit 20 %, 15 Sep to 15 Sep.');
  });

  it('of no finds is not called clean', () => {
    const none = point(0, 60, 0, 6);
    expect(plain(lotAnswer(lot({ answer: { code: 'below', point: none, limit } }), 'whitefly', false, english))).toBe(
      'W37: no whitefly seen on 60 plants; with 95 % confidence fewer than 6 % have it.',
    );
  });

  it('rises or falls only where the interval says so', () => {
    const change = (points: number, lower: number, upper: number): string =>
      plain(changeText(lot({ change: { since_week: '2026-W36', points, lower_points: lower, upper_points: upper } }), english));
    expect(change(11.9, -1.1, 24.4)).toBe('Since W36 +12 points (−1 … +24): may be no change.');
    expect(change(25, 3.5, 42.1)).toBe('Since W36 up 25 points (+4 … +42).');
    expect(change(-8.2, -14, -2)).toBe('Since W36 down 8.2 points (−14 … −2).');
    expect(changeText(lot({ change: null }), english)).toBe('Looked at for the first time.');
  });

  it('has a chance only where there is a forecast', () => {
    expect(plain(chanceSentence(lot(), english))).toBe('Chance of being over 20 % on 15 Sep: about 6 in 10.');
    expect(chanceSentence(lot({ over_limit_percent: null, over_limit_on: null }), english)).toBe('');
  });

  it('has the advice of its cultivar in the houses where it stands', () => {
    const own = advice();
    expect(adviceOf(lot(), [advice({ house_id: 'other' }), own, advice({ cultivar_id: 'other' })])).toEqual([own]);
    const { what, because } = adviceText(own, english);
    expect(plain(what)).toBe('Look at 21 more plants first');
    expect(because).toMatch(/^Why: /);
  });

  it('names the blocks of each house, or counts them where they are many', () => {
    const many = Array.from({ length: 9 }, (_, i) => ({ house_id: 'g', house: 'House 5', block_id: String(i), block: `5-0${i}` }));
    expect(plain(placesText([...missed, ...many], english))).toBe('House 4: 4-01; House 5: 9 blocks');
  });

  it('shares a limit with the others or says its own', () => {
    expect(sharedLimit([lot(), lot()])).toEqual(limit);
    expect(sharedLimit([lot(), lot({ answer: { code: 'too_close', point: point(), limit: { ...limit, percent: 7 } } })])).toBeNull();
    expect(sharedLimit([lot(), lot({ answer: { code: 'no_limit', point: point() } })])).toBeNull();
    expect(sharedLimit([])).toBeNull();
  });
});

describe('the address of a week', () => {
  const site = '019df349-eae8-788e-ba53-9526ddda0983';
  const state = { site, section: '019df349-f6a0-7dad-a671-05901d60b3ed', week: '2026-W37' };

  it('comes back as it went, and holds nothing that does not fit', () => {
    expect(readState(new URL(addressOf(state), 'http://x').searchParams)).toEqual(state);
    expect(readState(new URLSearchParams({ site: 'here', section: 'some', week: 'W37' }))).toEqual({ site: null, section: null, week: null });
  });

  it('without a section opens that of the person who looks after just one', () => {
    const reading = (...sections: WeekSection[]): WeekReading => ({
      site_id: site,
      organism_id: null,
      season_id: null,
      as_of: '2026-09-14',
      week: '2026-W37',
      present_week: '2026-W38',
      because: 'last_round',
      advice_holds: true,
      sections,
      advice: [],
      second_looks: [],
      holds: [],
      claims: [],
    });
    const rest = section({ section_id: null, grower_id: null });
    expect(sectionOf(reading(section(), rest), 'me')).toBe('one');
    expect(sectionOf(reading(section(), section({ section_id: 'two' })), 'me')).toBe(allSections);
    expect(sectionOf(reading(section()), 'somebody')).toBe(allSections);
    expect(shownSections(reading(section(), rest), 'one')).toHaveLength(1);
    expect(shownSections(reading(section(), rest), 'none')).toEqual([rest]);
  });
});
