import { describe, expect, it } from 'vitest';

import type { Look, Movement, TrendAnswer, TrendGroup, TrendLimit, TrendPoint, Trends } from '../../src/contract.gen';
import { networkProblem } from '../../src/problem';
import { groupAnswer, groupName, groupNote, pageAnswer, weeksSince } from '../../src/trends/answers';
import { counts, looksInOrder } from '../../src/trends/counts';
import { mark, pieces, unmarked } from '../../src/trends/mark';
import { happened, movementDeeds } from '../../src/trends/happened';
import { inOrder, summarise } from '../../src/trends/order';
import { changedMembers } from '../../src/trends/revisions';
import { axisWeeks, commonTop } from '../../src/trends/scale';
import { isOfAnother, shownOf } from '../../src/trends/shown';
import { placedSigns } from '../../src/trends/signs';
import { addressOf, allSites, readState, refiltered } from '../../src/trends/state';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';

const english = { words: en, format: formatIn('en') };
const spanish = { words: es, format: formatIn('es') };
const plain = (text: string): string => unmarked(text).replaceAll('\u00a0', ' ');

const limit: TrendLimit = { threshold_id: 't', from_on: '2026-09-10', to_on: '2026-09-25', percent: 20, effect: 'act' };

// 12 of 60 at 95 %: 11.8 to 31.8; 4 of 18: 9.0 to 45.2; 0 of 60: 0 to 6.0.
// Wilson's interval, method 3 of Newcombe 1998, Statistics in Medicine 17:857-872, worked by hand.
const point = (infested = 12, looked = 60, lower = 11.8, upper = 31.8, week = '2026-W38'): TrendPoint => ({
  week,
  starts_on: '2026-09-14',
  looks: 4,
  blocks: 4,
  plants_looked_at: looked,
  infested_plants: infested,
  infested_percent: (100 * infested) / looked,
  lower_percent: lower,
  upper_percent: upper,
  looks_in_doubt: 0,
});

function group(label: string, code: TrendAnswer['code'], at: TrendPoint | null = point(), more: Partial<TrendGroup> = {}): TrendGroup {
  const judged = code !== 'no_limit' && code !== 'no_looks';
  return {
    key: label,
    label,
    lots: 2,
    points: at ? [at] : [],
    limits: judged ? [limit] : [],
    answer: { code, point: at, ...(judged && { limit }) },
    ...more,
  };
}

function trends(groups: TrendGroup[], by: Trends['by'] = 'cultivar'): Trends {
  return {
    by,
    organism_id: 'o',
    season_id: 's',
    interval: 'wilson',
    confidence_percent: 95,
    as_of: '2026-09-14',
    groups,
    left_out: { on_purpose: 0, withdrawn: 0 },
  };
}

const sentence = (one: TrendGroup, speech = english): string => plain(groupAnswer(one, trends([one]), 'whitefly', speech));

describe('the trends that are shown', () => {
  const data = { asked: 'House 1', trends: trends([]) };
  const problem = networkProblem();

  it('stay while the answer to another question is on its way, and make room for a problem with it', () => {
    expect(shownOf({ data, problem: undefined }, 'House 2', 'cultivar')).toBe(data.trends);
    expect(isOfAnother({ data, problem: undefined }, 'House 2')).toBe(true);
    expect(shownOf({ data, problem }, 'House 2', 'cultivar')).toBeUndefined();
    expect(isOfAnother({ data, problem }, 'House 2')).toBe(false);
  });

  it('stay beside a problem when they answer the question, and are never those of another grouping', () => {
    expect(shownOf({ data, problem }, 'House 1', 'cultivar')).toBe(data.trends);
    expect(isOfAnother({ data, problem: undefined }, 'House 1')).toBe(false);
    expect(shownOf({ data, problem: undefined }, 'House 1', 'lot')).toBeUndefined();
    expect(shownOf({ data: undefined, problem: undefined }, 'House 1', 'lot')).toBeUndefined();
  });
});

describe('the answer of a group', () => {
  it('says so where the week has only begun: the first block of a Monday is not the whole group', () => {
    const monday = (blocks: number, standing: number, week = '2026-W38'): TrendGroup => group('Frostveil', 'no_limit', { ...point(), week, blocks, standing_blocks: standing });
    expect(sentence(monday(1, 4))).toMatch(/^W38 \(so far this week, 1 of 4 blocks\): 12 of 60/);
    expect(sentence(monday(1, 4), spanish)).toMatch(/^S38 \(esta semana hasta ahora, 1 de 4 bloques\): 12 de 60/);
    for (const other of [monday(2, 4), monday(1, 0), monday(1, 4, '2026-W37')]) expect(sentence(other)).toMatch(/^W3[78]: 12 of 60/);
  });

  it('says so where the share is weighted and not one count over the other', () => {
    const weighted = group('Frostveil', 'no_limit', { ...point(), infested_percent: 28, weighted: true });
    expect(sentence(weighted)).toContain('W38: 12 of 60 plants have whitefly, 28 % (12–32), weighted. ');
    expect(sentence(weighted, spanish)).toContain('28 % (12–32), ponderada. ');
  });

  it('gives both counts, the share, its interval, the dated limit and what would settle it', () => {
    const close = group('Frostveil', 'too_close', point(), { answer: { code: 'too_close', point: point(), limit, more_plants: 45 } });
    expect(sentence(close)).toBe(
      'W38: 12 of 60 plants have whitefly, 20 % (12–32). The limit is 20 % from 10 to 25 Sep. Too close to call: look at 45 more.',
    );
    expect(sentence(close, spanish)).toMatch(/^S38: 12 de 60 plantas tienen whitefly, 20 % \(12–32\)\. El límite es del 20 % del 10 al 25 sept?\. Demasiado cerca para saberlo: revise 45 más\.$/);
  });

  it('says above and below only as the server judged it', () => {
    expect(sentence(group('A', 'above', point(30, 60, 37.7, 62.3)))).toContain('Above the limit of 20 %, which applies from 10 to 25 Sep.');
    expect(sentence(group('A', 'below', point(4, 60, 2.6, 15.9)))).toContain('Below the limit of 20 %');
  });

  it('never takes no find for proof of none', () => {
    const text = sentence(group('A', 'below', point(0, 60, 0, 6.02)));
    expect(text).toContain('no whitefly seen on 60 plants; with 95 % confidence fewer than 6.0 % have it.');
    expect(sentence(group('A', 'below', point(0, 60, 0, 6.02)), spanish)).toContain('no se vio whitefly en 60 plantas');
  });

  it('asks for no number of plants where none would settle it', () => {
    for (const more_plants of [0, null]) {
      const close = group('A', 'too_close', point(), { answer: { code: 'too_close', point: point(), limit, more_plants } });
      expect(sentence(close)).toMatch(/Too close to call\.$/);
    }
  });

  it('names the plants that are missing to judge at all', () => {
    const few = group('A', 'too_few', point(4, 18, 9, 45.2), { answer: { code: 'too_few', point: point(4, 18, 9, 45.2), limit, more_plants: 42 } });
    expect(sentence(few)).toContain('Too few plants to judge it: look at 42 more.');
  });

  it('says when there is no limit, and when there are no looks', () => {
    expect(sentence(group('A', 'no_limit'))).toContain('No limit is judged here.');
    expect(sentence(group('A', 'no_looks', null))).toBe('No looks yet this season.');
  });

  it('says how old the latest look is once it is older than last week', () => {
    expect(sentence(group('A', 'below', point(4, 60, 2.6, 15.9, '2026-W35')))).toContain('That was 3 weeks ago.');
    expect(sentence(group('A', 'below', point(4, 60, 2.6, 15.9, '2026-W37')))).not.toContain('ago');
    expect(weeksSince('2026-W40', '2026-09-14')).toBe(0);
  });
});

describe('the answer of the page', () => {
  const many = [
    group('A', 'above'),
    group('B', 'above'),
    group('C', 'above'),
    ...Array.from({ length: 5 }, (_, i) => group(`D${i}`, 'too_close')),
    ...Array.from({ length: 16 }, (_, i) => group(`E${i}`, 'below')),
  ];

  it('counts the groups and names the limit they share', () => {
    expect(plain(pageAnswer(trends(many), 'whitefly', english))).toBe(
      '3 of 24 cultivars are above 20 %; 5 are too close to call and 16 are below. Limit: 20 % from 10 to 25 Sep.',
    );
    expect(plain(pageAnswer(trends(many), 'mosca blanca', spanish))).toContain('3 de 24 cultivares están por encima del 20 %');
  });

  it('names no single limit where groups have different ones', () => {
    const other = group('Z', 'above', point(), { answer: { code: 'above', point: point(), limit: { ...limit, percent: 7 } } });
    expect(plain(pageAnswer(trends([...many, other]), 'whitefly', english))).toMatch(/^4 of 25 cultivars are above their limits; .* below\.$/);
  });

  it('says where nothing is judged, and how often the pest was found', () => {
    const lots = [group('a', 'no_limit'), group('b', 'no_limit', point(0, 60, 0, 6))];
    expect(plain(pageAnswer(trends(lots, 'lot'), 'whitefly', english))).toBe(
      'No limit is judged for 2 lots here. In the latest week of 1 of them, plants with whitefly were found.',
    );
  });

  it('does not count what is not known as one of them, and does not hide it', () => {
    const unknown = group('', 'above', point(), { key: '', label: '' });
    const text = plain(pageAnswer(trends([...many, unknown]), 'whitefly', english));
    expect(text).toContain('3 of 24 cultivars');
    expect(text).toMatch(/Cultivar not known: above the limit\.$/);
  });
});

describe('names of groups', () => {
  it('put dates and fixed words into the language of the reader', () => {
    expect(plain(groupName({ key: '2026-07-06', label: '2026-07-06' }, 'arrival', english))).toBe('Arrived 6 Jul 2026');
    expect(groupName({ key: 'light', label: 'light' }, 'foliage', spanish)).toBe('Follaje claro');
    expect(groupName({ key: 'unrooted', label: 'unrooted' }, 'form', english)).toBe('Unrooted');
    expect(groupName({ key: 'constructor', label: 'odd' }, 'bract', english)).toBe('Odd');
  });

  it('say what is not known, and when there are several farms', () => {
    expect(groupName({ key: '', label: '' }, 'lot', english)).toBe('Lot not known');
    expect(groupName({ key: '', label: '' }, 'farm', spanish)).toBe('Finca de origen desconocida');
    expect(groupName({ key: 'several', label: 'A, B' }, 'farm', english)).toBe('Several farms: A, B');
  });

  it('carry a note with the date as people read it', () => {
    const lot = group('27-14', 'below', point(), { sub_label: 'Tarnflare · 2026-07-01', foliage: 'medium' });
    expect(plain(groupNote(lot, 'lot', english))).toBe('Tarnflare · 1 Jul · medium foliage');
  });
});

describe('the order', () => {
  it('puts first what needs a person, then the higher lower end, never the raw share', () => {
    const few = group('few of a handful', 'too_close', point(2, 3, 20.8, 93.9)); // 67 %, but unsure
    const sure = group('sure', 'too_close', point(50, 200, 19.5, 31.4)); // 25 %
    const surer = group('surer', 'too_close', point(60, 200, 24.1, 36.7)); // 30 %
    const groups = [group('none', 'no_looks', null), group('below', 'below'), sure, few, surer, group('above', 'above'), group('thin', 'too_few')];
    expect(inOrder(groups, 'limit').map(({ label }) => label)).toEqual(['above', 'surer', 'few of a handful', 'sure', 'thin', 'below', 'none']);
  });

  it('never puts 1 of 5 above 15 of 80, wherever their limits are', () => {
    // Wilson's intervals (method 3 of Newcombe 1998)
    const few = point(1, 5, 3.6, 62.4);
    const sure = point(15, 80, 11.7, 28.7);
    for (const fewStand of ['above', 'too_close', 'too_few', 'no_limit', 'below'] as const) {
      for (const sureStand of ['above', 'too_close', 'too_few', 'no_limit', 'below'] as const) {
        const groups = [group('House 1', fewStand, few), group('House 2', sureStand, sure)];
        expect(inOrder(groups, 'known').map(({ label }) => label)).toEqual(['House 2', 'House 1']);
      }
    }
    expect(inOrder([group('House 2', 'above', sure), group('House 1', 'below', few)], 'name').map(({ label }) => label)).toEqual(['House 1', 'House 2']);
  });

  it('is summed up without the groups of what is not known', () => {
    const summary = summarise([group('A', 'above'), group('B', 'below', point(0, 60, 0, 6)), group('', 'below', point(), { key: '' })]);
    expect(summary.total).toBe(2);
    expect(summary.counts).toMatchObject({ above: 1, below: 1 });
    expect(summary.found).toBe(1);
    expect(summary.limit).toEqual(limit);
  });
});

describe('the common scale', () => {
  it('reaches from the first look to today, and on to a limit that is coming', () => {
    const early = group('A', 'below', point(1, 60, 0.3, 8.9, '2026-W36'));
    expect(axisWeeks([early], '2026-09-14')).toEqual(['2026-W36', '2026-W37', '2026-W38', '2026-W39']);
    expect(axisWeeks([group('A', 'no_limit', point(1, 60, 0.3, 8.9, '2026-W36'))], '2026-09-14').at(-1)).toBe('2026-W38');
    expect(axisWeeks([], '2026-09-14')).toEqual([]);
  });

  it('reaches to the end of the forecast, as far as the charts of a page have room', () => {
    const at = (on: string) => ({ on, percent: 12, lower_50_percent: 10, upper_50_percent: 14, lower_90_percent: 6, upper_90_percent: 24 });
    const coming = group('A', 'no_limit', point(), { forecast: { code: 'known', weeks: 3, plants_looked_at: 180, points: [at('2026-09-17'), at('2026-11-05')] } });
    expect(axisWeeks([coming], '2026-09-14').at(-1)).toBe('2026-W42');
    expect(axisWeeks([coming], '2026-09-14', 60).at(-1)).toBe('2026-W45');
    expect(axisWeeks([coming], undefined).at(-1)).toBe('2026-W38');
  });

  it('holds every share and limit, and is not flattened by a handful of plants', () => {
    const usual = Array.from({ length: 40 }, (_, i) => group(`A${i}`, 'below', point(6, 60, 4.7, 20.1)));
    const handful = group('B', 'too_close', point(1, 2, 9.5, 90.5));
    expect(commonTop(usual)).toBe(30);
    expect(commonTop([...usual, handful])).toBe(50);
  });
});

describe('the address', () => {
  const house = '0192f0c4-0000-7000-8000-000000000001';

  it('holds everything the page shows', () => {
    const address = `/trends?by=lot&site=${allSites}&house=${house}&organism=BEMITA&open=${house}&week=2026-W33&look=${house}`;
    const state = readState(new URL(address, 'http://x').searchParams);
    expect(state).toMatchObject({ by: 'lot', site: allSites, house, organism: 'BEMITA', open: house, week: '2026-W33', look: house });
    expect(addressOf(state)).toBe(address);
  });

  it('tells the group of what is not known from no group', () => {
    const state = readState(new URLSearchParams('open=unknown'));
    expect(state.open).toBe('');
    expect(addressOf(state)).toContain('open=unknown');
    expect(readState(new URLSearchParams('by=lot')).open).toBeNull();
  });

  it('leaves out what does not fit', () => {
    const state = readState(new URLSearchParams('by=nothing&site=../x&house=7&week=2026-W33&look=x'));
    expect(state).toEqual({
      by: 'cultivar', site: null, house: null, cultivar: null, foliage: null, arrived: null, organism: null, season: null, interval: null, mixed: null, order: 'known', open: null, week: null, look: null,
    });
  });

  it('keeps the choice of interval, and says nothing of the usual one', () => {
    const state = readState(new URLSearchParams('by=lot&interval=wilson'));
    expect(state.interval).toBe('wilson');
    expect(addressOf(refiltered(state, { by: 'house' }))).toBe('/trends?by=house&interval=wilson');
    expect(addressOf(readState(new URLSearchParams('by=lot&interval=design')))).toBe('/trends?by=lot');
    expect(readState(new URLSearchParams('interval=other')).interval).toBeNull();
  });

  it('keeps mixed lots shared out, and says nothing of the usual way', () => {
    const state = readState(new URLSearchParams('by=arrival&mixed=shared'));
    expect(state.mixed).toBe('shared');
    expect(addressOf(refiltered(state, { by: 'supplier' }))).toBe('/trends?by=supplier&mixed=shared');
    expect(readState(new URLSearchParams('mixed=apart')).mixed).toBeNull();
  });

  it('closes what was open when the filters change, and lets go of a house with its site', () => {
    const state = readState(new URLSearchParams(`by=lot&site=${house}&house=${house}&open=a&week=2026-W33`));
    expect(refiltered(state, { by: 'house' })).toMatchObject({ by: 'house', house, open: null, week: null });
    expect(refiltered(state, { site: allSites })).toMatchObject({ site: allSites, house: null });
    expect(refiltered(state, { site: house })).toMatchObject({ house });
  });
});

describe('the looks behind a point', () => {
  const look = (id: string, more: Partial<Look> = {}): Look => ({
    id,
    version: 1,
    recorded_at: '2026-09-14T08:00:00Z',
    recorded_by: { id: 'p', name: 'P' },
    block_id: 'b',
    looked_at: '2026-09-14T08:00:00Z',
    targets: [],
    site_id: 's',
    house_id: 'h',
    looked_on: '2026-09-14',
    week: '2026-W38',
    results: [],
    doubts: [],
    ...more,
  });
  const result = (lower: number): Look['results'] => [
    { organism_id: 'o', plants_looked_at: 18, infested_plants: 4, infested_percent: 22.2, lower_percent: lower, upper_percent: 45.2, confidence_percent: 95, method: 'wilson' },
  ];

  it('come in the order in which they need a person, those that do not count last', () => {
    const rows = [
      look('on purpose', { purpose: 'on_purpose', results: result(80) }),
      look('low', { results: result(1) }),
      look('high', { results: result(9) }),
      look('doubt', { results: result(0), doubts: [{ code: 'lot_not_in_block', settled: false }] }),
      look('settled', { results: result(2), doubts: [{ code: 'lot_not_in_block', settled: true }] }),
      look('withdrawn', { withdrawn_because: 'wrong block', results: result(70) }),
    ];
    expect(looksInOrder(rows, 'o').map(({ id }) => id)).toEqual(['doubt', 'high', 'settled', 'low', 'on purpose', 'withdrawn']);
    expect(rows.filter(counts)).toHaveLength(4);
  });

  it('show each sign with its plant', () => {
    const sign = { stage: 'pupa', place: 'old_growth' } as const;
    expect(placedSigns({ plants: [{ seen: false }, { seen: true, signs: [sign] }], signs: [sign] })).toEqual([
      { plant: 2, sign },
      { plant: null, sign },
    ]);
    expect(placedSigns({})).toEqual([]);
  });

  it('name what a revision changed, each member once', () => {
    expect(changedMembers(['/targets/0/tally', '/targets/1', '/note', '/strange'], en)).toEqual(['plants and signs', 'note', 'strange']);
  });
});

describe('a marked sentence', () => {
  it('falls into its plain and strong pieces', () => {
    expect(pieces(`a ${mark('b')} c${mark('d')}`)).toEqual([
      { text: 'a ', strong: false },
      { text: 'b', strong: true },
      { text: ' c', strong: false },
      { text: 'd', strong: true },
    ]);
    expect(unmarked(`a ${mark('b')}`)).toBe('a b');
  });
});

describe('what was done meanwhile', () => {
  const moved = (kind: Movement['kind'], at: string, plants: number, withdrawn?: string) => ({ kind, moved_at: at, plants, site_id: 's', ...(withdrawn !== undefined && { withdrawn_because: withdrawn }) });

  it('is told day by day at the site, in order, without what was withdrawn', () => {
    const movements = [
      moved('pot', '2026-08-21T03:30:00Z', 300), // still the 20th in Chicago
      moved('stick', '2026-08-03T15:00:00Z', 700),
      moved('pot', '2026-08-20T16:00:00Z', 200),
      moved('move', '2026-08-20T17:00:00Z', 40),
      moved('discard', '2026-08-25T15:00:00Z', 9, 'wrong lot'),
    ];
    const days = happened(movementDeeds(movements, () => 'America/Chicago', english), english);
    expect(days.map(({ on, number, text }) => [on, number, plain(text)])).toEqual([
      ['2026-08-03', 1, '700 stuck'],
      ['2026-08-20', 2, '500 potted and 40 moved'],
    ]);
  });
});
