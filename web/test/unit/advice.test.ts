import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';

import { describe, expect, it } from 'vitest';

import type { Advice, Evidence } from '../../src/contract.gen';
import { multiplied } from '../../src/trends/advice/numbers';
import { questionOf } from '../../src/trends/advice/question';
import { adviceAnswer, evidenceSentence, goByHouses, howFar, inOrder, inShort, linesInOrder, meaning, morePlants, standingsOf, why } from '../../src/trends/advice/sentences';
import { unmarked } from '../../src/trends/mark';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { limitSources } from '../../src/words/es/limit-sources';
import { formatIn } from '../../src/words/format';
import { advice, counted, limit, line, list, point } from './advice-fixtures';

const english = { words: en, format: formatIn('en') };
const spanish = { words: es, format: formatIn('es') };
const plain = (text: string): string => unmarked(text).replaceAll('\u00a0', ' ');
const answer = (one: Advice, asOf = list.as_of): string => plain(adviceAnswer(one, asOf, 'whitefly', english));

const stay: Advice['suggestion'] = { code: 'stay_biological', reasons: ['limit'], cautions: [] };
const none: Advice['suggestion'] = { code: 'nothing_to_say', reasons: ['limit'], cautions: [] };

describe('the answer of a worksheet', () => {
  it('asks for more plants where it is too close to call, with counts, interval, limit and day', () => {
    expect(answer(advice())).toBe(
      'Check at least 21 more plants of Frostveil in House 2: 12 of 60 plants have whitefly, 20 % (12–32), too close to the limit of 20 % on 15 Sep.',
    );
  });

  it('says the same in Spanish', () => {
    expect(plain(adviceAnswer(advice(), list.as_of, 'mosca blanca', spanish))).toBe(
      'Revise al menos 21 plantas más de Frostveil en House 2: 12 de 60 plantas tienen mosca blanca, 20 % (12–32), demasiado cerca del límite del 20 % del 15 sept.',
    );
  });

  it('says clearly under and clearly over', () => {
    const under = advice({ answer: { code: 'below', point: point(7, 100, 3.4, 13.7), limit }, suggestion: stay });
    expect(answer(under)).toBe(
      'Stay with biological control for Frostveil in House 2: 7 of 100 plants have whitefly, 7 % (3–14), below the limit of 20 % on 15 Sep.',
    );
    const over = advice({
      answer: { code: 'above', point: point(40, 60, 54.1, 77.3), limit: { ...limit, from_on: '2026-09-10', to_on: '2026-09-25' } },
      suggestion: { code: 'consider_selective', reasons: ['limit'], cautions: [] },
    });
    expect(answer(over)).toBe(
      'Consider selective chemical control for Frostveil in House 2: 40 of 60 plants have whitefly, 67 % (54–77), above the limit of 20 % from 10 to 25 Sep.',
    );
  });

  it('names the day ahead and the chance where the suggestion rests on the forecast', () => {
    const ahead = advice({
      answer: { code: 'above', point: point(), limit: { ...limit, percent: 7 } },
      evidence: [line('forecast', 'below', { on: '2026-09-15' }), line('limit', 'above', counted)],
      forecast: { code: 'known', weeks: 3, plants_looked_at: 180, limit, over_limit_percent: 4.4 },
      suggestion: { ...stay, reasons: ['forecast', 'limit'] },
    });
    expect(answer(ahead)).toBe(
      'Stay with biological control for Frostveil in House 2: 12 of 60 plants have whitefly, 20 % (12–32); it should stay below the limit of 20 % on 15 Sep (chance of being over it: about 4 in 100).',
    );
    expect(meaning(ahead, english)).toMatch(/calculated from its pace/);
  });

  it('says so where the share is weighted and not one count over the other', () => {
    const weighted = advice({ answer: { code: 'too_close', point: { ...point(), infested_percent: 28, weighted: true }, limit } });
    expect(answer(weighted)).toContain('12 of 60 plants have whitefly, 28 % (12–32), weighted, too close to the limit');
    expect(plain(adviceAnswer(weighted, list.as_of, 'mosca blanca', spanish))).toContain('28 % (12–32), ponderada, demasiado cerca');
  });

  it('never says that none found is none there', () => {
    const zero = advice({ answer: { code: 'below', point: point(0, 60, 0, 6.02), limit }, suggestion: stay });
    expect(answer(zero)).toBe(
      'Stay with biological control for Frostveil in House 2: no whitefly seen on 60 plants, so most likely no more than 6.0 % have it, below the limit of 20 % on 15 Sep.',
    );
  });

  it('does not round a bound onto the limit that it is not on', () => {
    const none = advice({ answer: { code: 'too_close', point: point(0, 15, 0, 20.4), limit } });
    expect(answer(none)).toContain('so most likely no more than 20.4 % have it; too few plants were looked at to judge the limit of 20 %');
    expect(plain(meaning(none, english))).toContain('somewhere in 0–20.4 %: that still reaches over 20 %, so too few plants were looked at to be sure');
    expect(answer(advice({ answer: { code: 'below', point: point(5, 40, 5.5, 19.6), limit } }))).toContain('13 % (5.5–19.6), below the limit of 20 %');
    expect(plain(adviceAnswer(none, list.as_of, 'mosca blanca', spanish))).toContain('que la tenga como mucho el 20,4 %');
  });

  it('says when nobody has looked, when the looks are old, when no limit is set and when the plants are gone', () => {
    expect(answer(advice({ answer: { code: 'no_looks' }, suggestion: none }))).toBe(
      'Nothing to say yet about Frostveil in House 2: nobody has looked at it yet this season.',
    );
    expect(answer(advice(), '2026-09-30')).toMatch(/on 15 Sep\. The latest look was 3 weeks ago\.$/);
    expect(answer(advice({ answer: { code: 'no_limit', point: point() }, suggestion: none }))).toMatch(/20 % \(12–32\)\. No limit is set for the days ahead\.$/);
    const gone = advice({ standing_plants: 0, suggestion: { ...none, reasons: [] } });
    expect(answer(gone)).toBe('Nothing left to do about Frostveil in House 2: no plants of it stand there any more.');
    expect(meaning(gone, english)).toBe('');
  });

  it('explains the range in plain words for every standing', () => {
    const codes = ['below', 'above', 'too_close', 'too_few', 'no_limit', 'no_looks'] as const;
    const said = codes.map((code) => plain(meaning(advice({ answer: { code, point: code === 'no_looks' ? null : point(), ...(code !== 'no_limit' && { limit }) } }), english)));
    expect(new Set(said).size).toBe(codes.length);
    expect(said[2]).toBe(
      'The 60 plants are only a sample. In all 1,200 plants that stand there the share is most likely somewhere in 12–32 %: that reaches from under 20 % to over it, so these looks cannot tell on which side the crop is.',
    );
    const asked = advice({ answer: { code: 'too_few', point: point(), limit: { ...limit, smallest_plants: 100 } } });
    expect(plain(meaning(asked, english))).toMatch(/This limit is judged from 100 plants on, or from 5 % of the crop where that is fewer\.$/);
  });

  it('says how far the fewest plants go, what is likely, and when not even all of them would do', () => {
    const asking = (fewest: number, likely: number, settles?: 'none' | 'all'): Advice =>
      advice({
        suggestion: {
          code: 'look_at_more',
          reasons: [],
          cautions: [],
          ...(fewest > 0 && { fewest_plants: fewest }),
          ...(likely > 0 && { likely_plants: likely }),
          ...(settles && { fewest_settles: settles }),
        },
      });
    const goOn = 'Any other result means: go on. After each look the page works out anew how many more it takes.';
    const least = `You can stop after the next 21 only if none of them has it: then it is below the limit. ${goOn}`;
    expect(howFar(asking(21, 45, 'none'), english)).toBe(`Expect to check about 45 more if the share stays as it is. ${least}`);
    expect(howFar(asking(12, 45, 'all'), english)).toContain('. You can stop after the next 12 only if all of them have it: then it is over the limit. ');
    expect(howFar(asking(12, 45, 'all'), spanish)).toBe(
      'Cuente con revisar unas 45 más si la proporción sigue igual. Puede parar después de las próximas 12 solo si todas la tienen: entonces está por encima del límite. Con cualquier otro resultado, siga. Después de cada revisión la página vuelve a calcular cuántas faltan.',
    );
    expect(howFar(asking(1, 45, 'none'), english)).toContain('after the next one only if it does not have it: then it is below');
    expect(howFar(asking(21, 21, 'none'), english)).toBe(least);
    expect(howFar({ ...asking(12, 45, 'all'), suggestion: { ...asking(12, 45, 'all').suggestion, reasons: ['forecast'] } }, english)).toContain('then it is likely to go over the limit.');
    expect(howFar(asking(21, 45), english)).toBe('Expect to check about 45 more if the share stays as it is.');
    expect(howFar(asking(21, 1140), english)).toBe('Expect to check about 1,140 more (all that are left) if the share stays as it is.'); // 1,200 stand there, 60 were looked at
    expect(howFar(asking(21, 1140), spanish)).toBe('Cuente con revisar unas 1140 más (todas las que quedan) si la proporción sigue igual.');
    for (const likely of [1141, 0]) expect(howFar(asking(21, likely), english)).toMatch(/not even all 1,200 that stand there settle it/);
    expect(howFar(asking(21, 0, 'none'), english)).toMatch(/^You can stop after the next 21 .* how many more it takes\. If the share stays as it is, not even all 1,200 /);
    expect(howFar({ ...asking(21, 0, 'none'), standing_plants: 0 }, english)).toBe(least);
    expect(plain(howFar(asking(60, 60), english))).toBe('60 more plants make a whole round, by the rules of the round.');
    expect(plain(howFar(asking(1, 1), english))).toBe('1 more plant makes a whole round, by the rules of the round.');
    expect(plain(howFar(asking(1, 1), spanish))).toBe('1 planta más hace una ronda completa, según las reglas de la ronda.');
    expect(howFar({ ...asking(60, 60), evidence: [line('sampling', 'met')] }, english)).toBe('');
    expect(answer(asking(60, 60))).toMatch(/^Look at 60 more plants of Frostveil/);
    expect(answer(asking(0, 0))).toMatch(/^Look at more plants of Frostveil/);
    expect(howFar(asking(0, 0), english)).toBe('');
    expect(morePlants(advice({ suggestion: { ...stay, likely_plants: 45 } }))).toBeNull();
  });
});

describe('the lines before all details', () => {
  const asking = (fewest: number, likely?: number): Advice =>
    advice({ suggestion: { code: 'look_at_more', reasons: [], cautions: [], fewest_plants: fewest, ...(likely && { likely_plants: likely }) } });

  it('say how many to check first, how many it probably takes, and where it says when to stop', () => {
    const first = 'check 10 first';
    const stop = 'open House 2 below to see when to stop';
    expect(inShort(asking(10, 45), english, 'House 2')).toBe(`${first}, probably about 45 in all; ${stop}`);
    expect(inShort(asking(10, 1140), english, 'House 2')).toBe(`${first}, probably all 1,140 that are left; ${stop}`); // all that are left
    expect(inShort(asking(10), english, 'House 2')).toBe(`${first}; ${stop}`);
    expect(inShort(asking(10, 1141), english, 'House 2')).toBe(`${first}; ${stop}`);
    expect(inShort(asking(10, 45), english)).toBe(`${first}, probably about 45 in all; see below when to stop`);
    expect(inShort(asking(10, 1140), spanish, 'House 2')).toBe('revise 10 primero y probablemente las 1140 que quedan; abra House 2 más abajo para ver cuándo parar');
    expect(inShort(asking(10, 45), spanish)).toBe('revise 10 primero y probablemente unas 45 en total; vea más abajo cuándo parar');
  });

  it('say so where no more than a round, or all that are left, are to be checked', () => {
    expect(inShort(asking(45, 45), english, 'House 2')).toBe('check 45 more');
    expect(inShort(asking(1140, 1140), english, 'House 2')).toBe('check the last 1,140');
    expect(inShort(asking(1140, 1140), spanish, 'House 2')).toBe('revise las últimas 1140');
    expect(inShort(advice({ suggestion: stay }), english, 'House 2')).toBe('Stay with biological control');
  });
});

describe('a lot among all of its cultivar', () => {
  const at = (house: string, code: 'below' | 'above' | 'too_close', more: Partial<Advice> = {}): Advice =>
    advice({ house, answer: { code, point: point(), limit }, suggestion: { code: code === 'above' ? 'consider_selective' : 'stay_biological', reasons: ['limit'], cautions: [] }, ...more });
  const lot = { answer: { code: 'too_close', point: point(), limit } } as const;

  it('names the houses that stand elsewhere to the limit', () => {
    expect(standingsOf(lot, [at('House 3', 'too_close'), at('House 5', 'below'), at('House 2', 'above')])).toEqual([
      { name: 'House 2', code: 'above' },
      { name: 'House 5', code: 'below' },
    ]);
    expect(standingsOf(lot, [at('House 3', 'too_close')])).toEqual([]);
    expect(standingsOf(lot, [at('House 3', 'below', { standing_plants: 0, suggestion: { ...none, reasons: [] } })])).toEqual([]); // gone
  });

  it('goes by the house that is over its limit', () => {
    const items = [at('House 3', 'too_close'), at('House 2', 'above')];
    expect(goByHouses(lot, items, english)).toBe('All Frostveil in House 2 is over its limit: go by that, not by this line.');
    expect(goByHouses(lot, items, spanish)).toBe('Todo Frostveil en House 2 está por encima de su límite: guíese por eso, no por esta línea.');
    expect(goByHouses(lot, [...items, at('House 4', 'above')], english)).toContain('in House 2 and House 4 is over');
    expect(goByHouses(lot, [at('House 3', 'too_close')], english)).toBe('');
    expect(goByHouses({ answer: { code: 'above', point: point(), limit } }, items, english)).toBe('');
  });
});

describe('the sources of the published limits', () => {
  it('are told in Spanish, each of them, and any other as it is stored', () => {
    const starter = readFileSync(resolve(import.meta.dirname, '../../../domain/advice/starter.go'), 'utf8');
    const published = [...starter.matchAll(/Source: ((?:"[^"]*"[\s+]*)+)/g)].map(([, text = '']) => [...text.matchAll(/"([^"]*)"/g)].map(([, part]) => part).join(''));
    expect(published).toHaveLength(5);
    for (const source of published) {
      expect(es.trends.limitSource(source)).not.toBe(source);
      expect(en.trends.limitSource(source)).toBe(source);
    }
    expect(limitSources.size).toBe(published.length);
    expect(es.trends.limitSource('our adviser')).toBe('our adviser');
  });
});

/** Every finding a line may have, as the rules of the advice give them. */
const findings: { [code in Evidence['code']]: NonNullable<Evidence['finding']>[] } = {
  limit: ['below', 'above', 'too_close', 'too_few', 'no_limit', 'cannot_say'],
  forecast: ['below', 'above', 'too_close', 'no_limit', 'cannot_say'],
  growth: ['rising', 'falling', 'steady', 'cannot_say'],
  spread: ['hot_spots', 'widespread', 'single_block', 'none_found', 'cannot_say'],
  foliage: ['light_only', 'dark_too', 'dark_more', 'none_found', 'cannot_say'],
  main_cultivar: ['main', 'not_main', 'cannot_say'],
  new_growth: ['found', 'not_found', 'not_looked_for'],
  adults: ['found', 'not_found', 'not_looked_for'],
  dense_leaves: ['found', 'not_found', 'not_looked_for'],
  late_nymphs: ['most_not_healthy', 'most_healthy', 'not_found', 'not_looked_for', 'cannot_say'],
  sampling: ['met', 'not_met', 'cannot_say'],
  time_left: ['time', 'short', 'past', 'cannot_say'],
};
const everyLine = (Object.keys(findings) as Evidence['code'][]).flatMap((code) => findings[code].map((finding) => ({ code, finding })));
const full: Partial<Evidence> = { ...counted, limit_percent: 20, on: '2026-09-15', blocks: 2, of_blocks: 8, weeks: 3, days: 6 };
const known = advice({
  growth: { code: 'known', weeks: 3, plants_looked_at: 180, odds_ratio: 1.4, lower: 1.1, upper: 1.8 },
  forecast: {
    code: 'known',
    weeks: 3,
    plants_looked_at: 180,
    limit,
    over_limit_percent: 70.3,
    points: [{ on: '2026-09-15', percent: 24, lower_50_percent: 20, upper_50_percent: 28, lower_90_percent: 15, upper_90_percent: 36 }],
  },
});
const said = (one: Evidence, about: Advice = known): string => plain(evidenceSentence(one, about, 'whitefly', english));

describe('the evidence', () => {
  it.each(everyLine)('has a sentence for $code $finding in both languages, with and without numbers', ({ code, finding }) => {
    for (const [speech, organism] of [[english, 'whitefly'], [spanish, 'mosca blanca']] as const) {
      for (const [one, about] of [[line(code, finding, full), known], [line(code, finding), advice()]] as const) {
        const text = evidenceSentence(one, about, organism, speech);
        expect(text).not.toBe(speech.words.advice.unread);
        expect(text).not.toMatch(/undefined|null|NaN|\[object|\(\)| {2}|,\.|, ,/);
        expect(text).toMatch(/^[\p{Lu}\d].*\.$/u);
      }
      const reason = why(advice({ evidence: [line(code, finding)], suggestion: { code: 'look_at_more', reasons: [code], cautions: [] } }), speech);
      expect(reason).toMatch(/^.+: .+\.$/);
    }
  });

  it('says its numbers', () => {
    expect(said(line('forecast', 'too_close', full))).toBe(
      'If it goes on as it has so far, about 24 % of the plants will have whitefly on 15 Sep (most likely between 15 and 36 %); it is likely (about 7 in 10) that it is over the limit of 20 % then. That is not sure enough to go by.',
    );
    // Odds of 10 in 100 are 1 to 9; 1.4 times that is 13.5 in 100, 1.1 times 10.9, 1.8 times 16.7.
    expect(said(line('growth', 'rising', full))).toBe('Rising. At the pace of 3 weeks with looks, 10 plants with it in 100 become about 13 within a week (11 to 17).');
    // In whole plants, since a grower counts plants: 1.25 times the odds of 10 is 12.2, 1.02 times 10.2, 1.5 times 14.3.
    const paced = said(line('growth', 'rising', full), { ...known, growth: { code: 'known', weeks: 3, plants_looked_at: 180, odds_ratio: 1.25, lower: 1.02, upper: 1.5 } });
    expect(paced).toContain('become about 12 within a week (10 to 14).');
    expect(said(line('spread', 'hot_spots', full))).toBe('Found in 2 of 8 blocks looked at: in hot spots, not everywhere.');
    expect(said(line('adults', 'found', { ...full, direction: 'against_biological' }))).toBe(
      'Adults on 12 of 60 plants on which it was noted, 20 % (12–32), in the last 3 weeks: they lay new eggs.',
    );
    expect(said(line('adults', 'found', { ...full, infested_plants: 1 }))).toMatch(/^Adults on 1 of 60 plants .*: few so far\.$/); // the server leaves few plants open
    expect(said(line('time_left', 'short', full))).toBe('Only 6 days left, until 15 Sep, in which a change still takes effect: whatever is decided has to begin soon.');
    expect(said(line('time_left', 'short', { ...full, days: 0 }))).toMatch(/^Only 0 days left/);
    expect(said(line('sampling', 'not_met', { plants_looked_at: 60, percent: 5, blocks: 2, of_blocks: 8, days: 17 }))).toBe(
      'The latest looks took in 60 plants, 5 % of the crop, in 2 of 8 blocks, and are 17 days old: too little, or too long ago, for the rules of a round. Read the figures with care.',
    );
  });

  it('tells what became of the large nymphs by their notes', () => {
    expect(said(line('late_nymphs', 'most_not_healthy', full))).toBe('Of 60 large nymphs and pupae noted in the last 3 weeks, 12, 20 % (12–32), were parasitised, eaten or dried up: the natural enemies are at work.');
    expect(said(line('late_nymphs', 'most_healthy', { plants_looked_at: 47 }))).toMatch(/^Of 47 large nymphs and pupae noted, none was parasitised/);
    expect(plain(evidenceSentence(line('late_nymphs', 'most_healthy', { plants_looked_at: 47 }), known, 'mosca blanca', spanish))).toMatch(/^De 47 ninfas grandes y pupas anotadas, ninguna estaba parasitada, comida ni seca/);
  });

  it('takes a count that the server leaves out as none', () => {
    expect(said(line('limit', 'below', { plants_looked_at: 60, percent: 0, lower_percent: 0, upper_percent: 6.02, limit_percent: 20 }))).toBe(
      '0 of 60 plants have whitefly, 0 % (0–6.0): below the limit of 20 % on 15 Sep.',
    );
    expect(said(line('spread', 'none_found', { of_blocks: 8 }))).toBe('Found in no block; 8 blocks were looked at.');
  });

  it('says that it cannot read what it does not know', () => {
    expect(said({ code: 'spread', direction: 'open' })).toBe(en.advice.unread);
  });

  it('puts what the suggestion rests on first, and gives the reasons in words', () => {
    const one = advice({
      evidence: [line('limit', 'above'), line('forecast', 'above'), line('growth', 'rising'), line('spread', 'widespread')],
      suggestion: { code: 'consider_selective', reasons: ['spread', 'growth', 'what_is_this'], cautions: [] },
    });
    expect(linesInOrder(one).map(({ code }) => code)).toEqual(['spread', 'growth', 'limit', 'forecast']);
    const four = { ...one, suggestion: { ...one.suggestion, reasons: ['limit', 'forecast', 'growth', 'spread'] } };
    expect(why(four, english)).toBe('Why: it is above the limit, it will be over the limit ahead if nothing changes, and it is rising.');
    expect(why(one, english)).toBe('Why: it is in most of the blocks looked at and it is rising.');
    expect(why(advice({ suggestion: { ...none, reasons: [] } }), english)).toBe('');
  });
});

describe('the numbers behind the sentences', () => {
  it('multiply the odds of a percentage', () => {
    expect(multiplied(10, 2)).toBeCloseTo((100 * 2) / 11, 9); // odds of 1 to 9 doubled: 2 to 9
    expect(multiplied(50, 3)).toBeCloseTo(75, 9);
  });
});

describe('the sheets of a group', () => {
  it('stand in the order of what needs a person', () => {
    const of = (code: Advice['suggestion']['code']): Advice => advice({ suggestion: { code, reasons: ['limit'], cautions: [] } });
    const gone: Advice = advice({ standing_plants: 0, suggestion: { ...none, reasons: [] } });
    const ordered = inOrder([gone, of('stay_biological'), of('nothing_to_say'), of('look_at_more'), of('deal_with_hot_spots'), of('consider_selective')]);
    expect(ordered.map(({ suggestion }) => suggestion.code)).toEqual(['consider_selective', 'deal_with_hot_spots', 'look_at_more', 'nothing_to_say', 'stay_biological', 'nothing_to_say']);
    expect(ordered.at(-1)).toBe(gone);
  });

  it('are asked for by lot, cultivar or house, under the filters of the page; and for no other group', () => {
    const trends = { organism_id: 'o', season_id: 'n' };
    const open = { house: null, cultivar: null };
    expect(questionOf({ by: 'lot', ...trends }, { key: 'l' }, 's', open)).toEqual({ site_id: 's', organism_id: 'o', season_id: 'n', lot_id: 'l' });
    expect(questionOf({ by: 'cultivar', ...trends }, { key: 'c' }, 'all', { house: 'h', cultivar: null })).toEqual({ organism_id: 'o', season_id: 'n', house_id: 'h', cultivar_id: 'c' });
    expect(questionOf({ by: 'house', organism_id: null, season_id: null }, { key: 'h' }, 'all', open)).toEqual({ house_id: 'h' });
    expect(questionOf({ by: 'supplier', ...trends }, { key: 'x' }, 's', open)).toBeNull();
    expect(questionOf({ by: 'lot', ...trends }, { key: '' }, 's', open)).toBeNull();
  });
});
