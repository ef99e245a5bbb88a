import { describe, expect, it } from 'vitest';

import type { Origin, OriginFact, OriginTerm } from '../../src/contract.gen';
import { unmarked } from '../../src/trends/mark';
import { explainedText, factsInOrder, firstText, followsText, foundText, growthText, neighboursText, originAnswer } from '../../src/trends/origin/sentences';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';

const english = { words: en, format: formatIn('en') };
const spanish = { words: es, format: formatIn('es') };
const plain = (text: string): string => unmarked(text).replaceAll('\u00a0', ' ');

function origin(code: Origin['code'], strength: Origin['strength'] = 'none', because?: Origin['because']): Origin {
  return {
    code,
    strength,
    ...(because && { because }),
    plants_looked_at: 1240,
    infested_plants: 86,
    arrivals: 6,
    houses: 3,
    weeks: 5,
    terms: [],
    facts: [],
  };
}

const answer = (one: Origin): string => plain(originAnswer(one, 'whitefly', english));

describe('the origin', () => {
  it('is said as a sentence with its strength and the figures it was read from', () => {
    expect(answer(origin('arrival', 'clear'))).toBe(
      'Whitefly follows the arrivals: plants of some arrivals have it more often than others, whichever house they stand in (clear). Read from 1,240 plants, 86 of them with it, of 6 arrivals in 3 houses, over 5 weeks.',
    );
    expect(answer(origin('house', 'weak'))).toMatch(/^Whitefly follows the houses: .* \(weak: it may be chance or a patch\)\. Read from/);
    expect(answer(origin('both', 'strong'))).toMatch(/^Whitefly follows both, .* \(strong\)\. Read from/);
    expect(answer(origin('neither'))).toMatch(/^The counts cannot decide: the differences between arrivals and between houses are small enough to be chance\. Read from/);
    expect(plain(originAnswer(origin('arrival', 'clear'), 'mosca blanca', spanish))).toBe(
      'Mosca blanca: sigue a las llegadas. Las plantas de unas llegadas la tienen más que las de otras, estén en el invernadero que estén (claro). Leído de 1240 plantas, 86 de ellas infestadas, de 6 llegadas en 3 invernaderos, durante 5 semanas.',
    );
  });

  it('does not speak of other houses or arrivals where there is one', () => {
    for (const speech of [english, spanish]) {
      const of = (code: Origin['code'], more: Partial<Origin>): string => plain(originAnswer({ ...origin(code, 'clear'), ...more }, 'whitefly', speech));
      expect(of('arrival', { houses: 1 })).not.toMatch(/whichever house|estén en el invernadero/);
      expect(of('house', { arrivals: 1 })).not.toMatch(/whichever arrival|vinieran con/);
      expect(of('neither', { arrivals: 1 })).toMatch(/^(?:The counts cannot decide: the differences between houses are|Los recuentos no pueden decidir: las diferencias entre invernaderos son)/);
      expect(of('neither', { houses: 1 })).toMatch(/^(?:The counts cannot decide: the differences between arrivals are|Los recuentos no pueden decidir: las diferencias entre llegadas son)/);
    }
  });

  it('says that arrival and house cannot be told apart', () => {
    expect(answer(origin('cannot_be_told_apart', 'none', 'confounded'))).toMatch(/^The counts cannot decide: too few arrivals stand side by side/);
    expect(answer(origin('cannot_be_told_apart'))).toMatch(/too few arrivals stand side by side/);
  });

  it('says why nothing can be said, each reason in its own words, in both languages', () => {
    const reasons = ['no_looks', 'none_infested', 'all_infested', 'one_arrival_and_house', 'confounded', 'too_few'] as const;
    for (const speech of [english, spanish]) {
      const said = reasons.map((because) => originAnswer(origin('cannot_say', 'none', because), 'whitefly', speech));
      expect(new Set(said).size).toBe(reasons.length);
      for (const text of said) expect(text).toMatch(/: .+\.$/);
    }
    expect(answer(origin('cannot_say', 'none', 'too_few'))).toBe(
      'Nothing can be said yet: 86 of 1,240 plants had it. That is too few plants with it, or too few arrivals that stood in several houses, to tell a pattern from chance.',
    );
    expect(answer({ ...origin('cannot_say', 'none', 'none_infested'), infested_plants: 0 })).toBe(
      'Nothing can be said yet: it was found on 0 of 1,240 plants. That does not mean it is not there.',
    );
  });
});

const seen = { first_seen_week: '2026-W33', old_growth_plants: 5 };
const looked = { first_look_week: '2026-W31' };

/** A lot that was never looked at in a block. */
const unlooked: OriginFact = {
  lot_id: 'l',
  lot_code: 'F-12',
  cultivar: 'Frostveil',
  arrived_on: '2026-07-20',
  dock_plants_looked_at: 57,
  dock_infested_plants: 3,
  second_plants_looked_at: 0,
  second_infested_plants: 0,
  points_to: 'arrival',
};
const unseen: OriginFact = { ...unlooked, ...looked };
const fact: OriginFact = { ...unseen, ...seen };

describe('the facts of a lot', () => {
  it('are promised to tell something only where one of them does', () => {
    const follows = (code: Origin['code'], ...facts: OriginFact[]): string => followsText({ ...origin(code), facts }, english);
    const silent: OriginFact = { ...fact, points_to: 'nothing' };
    for (const code of ['neither', 'cannot_be_told_apart'] as const) {
      expect(follows(code, silent)).toBe('The facts below point neither to an arrival nor to a house.');
      expect(follows(code, silent, silent)).toBe('The facts below point neither to an arrival nor to a house.');
      expect(follows(code, silent, fact)).toMatch(/^The facts below may still show where it began/);
      expect(follows(code, fact)).toBe('A hint from this lot’s own history: the arrival (no proof).');
    }
    expect(follows('arrival', silent)).toMatch(/larger sample of the next arrivals/);
    expect(followsText({ ...origin('neither'), facts: [silent] }, spanish)).toBe('Los datos de abajo no apuntan ni a una llegada ni a un invernadero.');
  });

  it('tell not looked at from none found from found', () => {
    expect(foundText(0, 0, english)).toBe('not looked at');
    expect(plain(foundText(0, 57, english))).toBe('none on 57 plants');
    expect(plain(foundText(3, 57, english))).toBe('found on 3 of 57');
  });

  it('say when it was first found, from the first look on', () => {
    expect(plain(firstText(fact, english))).toBe('W33, 2 weeks after the first look');
    expect(plain(firstText({ ...fact, first_seen_week: '2026-W31' }, english))).toBe('W31, at the first look');
    expect(plain(firstText(unseen, english))).toBe('not found, looked at since W31');
    expect(firstText(unlooked, english)).toBe('not looked at in a block yet');
    expect(growthText(unseen, english)).toBe('–');
    expect(neighboursText(unseen, english)).toBe('–');
  });

  it('say on which growth and what stood beside it, where that was noted', () => {
    expect(growthText(fact, english)).toBe('old growth 5 and new growth 0');
    expect(growthText({ ...fact, old_growth_plants: 0 }, english)).toBe('not noted');
    expect(neighboursText(fact, english)).toBe('not looked at');
    expect(plain(neighboursText({ ...fact, neighbours_plants_looked_at: 80 }, english))).toBe('none on 80 plants');
  });

  it('stand in the order of what they tell', () => {
    const of = (code: string, more: Partial<OriginFact>): OriginFact => ({ ...fact, lot_code: code, ...more });
    const ordered = factsInOrder([
      { ...unseen, lot_code: 'A', points_to: 'nothing' },
      of('B', { points_to: 'nothing' }),
      of('C', { points_to: 'house', arrived_on: '2026-08-01' }),
      of('D', {}),
    ]);
    expect(ordered.map(({ lot_code: code }) => code)).toEqual(['D', 'C', 'B', 'A']);
  });
});

describe('the terms', () => {
  const term: OriginTerm = { term: 'arrival', levels: 6, df_first: 5, deviance_first: 24.34, p_first: 0.0021, df_last: 0, deviance_last: 0, p_last: 1 };

  it('say what they explain beside what chance would, and that nothing is left', () => {
    // Deviance over its degrees of freedom is the dispersion when there is nothing but chance: 5 times 2.1.
    expect(explainedText(term, 'first', 2.1, english)).toBe('24.3 on 5\u00a0degrees of freedom; chance alone: about 10.5; p 0.002');
    expect(explainedText(term, 'last', 2.1, english)).toBe('nothing left to explain');
    expect(explainedText({ ...term, p_first: 0.00001 }, 'first', 0.5, english)).toMatch(/about 5; p <\u00a00\.001$/);
    expect(explainedText({ ...term, p_first: null }, 'first', 1, english)).toMatch(/about 5$/);
  });
});
