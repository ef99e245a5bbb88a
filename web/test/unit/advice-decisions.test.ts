import { beforeEach, describe, expect, it, vi } from 'vitest';

import { carriedOut, takenBack, written } from '../../src/trends/advice/corrections';
import { byText } from '../../src/trends/advice/decision-by';
import { bodyOf, draftKey, isBegun, isRefused, keepDraft, keptDraft, newDraft, type DecisionDraft } from '../../src/trends/advice/draft';
import { figuresOf, figuresText, suggestedText } from '../../src/trends/advice/figures';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';
import { advice, decision, decisionBody as body, line, limit, list } from './advice-fixtures';

const english = { words: en, format: formatIn('en') };
const spanish = { words: es, format: formatIn('es') };
const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('the figures of a decision', () => {
  const known = advice({ forecast: { code: 'known', weeks: 3, plants_looked_at: 180, limit, over_limit_percent: 0 } });

  it('are those of the sheet, the chance of none included', () => {
    expect(figuresOf(known)).toEqual({
      week: '2026-W37',
      infested_plants: 12,
      plants_looked_at: 60,
      percent: 20,
      lower_percent: 11.8,
      upper_percent: 31.8,
      limit_percent: 20,
      limit_on: '2026-09-15',
      over_limit_percent: 0,
      suggested: 'look_at_more',
    });
    expect(figuresOf(advice({ answer: { code: 'no_looks' }, evidence: [] }))).toEqual({ suggested: 'look_at_more' });
  });

  it('take the first day of the limit when no line names one', () => {
    expect(figuresOf(advice({ evidence: [line('growth', 'steady')] })).limit_on).toBe('2026-09-15');
  });

  it('are read back in both languages', () => {
    expect(plain(figuresText(figuresOf(known), english))).toBe('W37: 12 of 60 · 20 % (12–32); limit 20 % from 15 Sep; chance of being over the limit ahead: less than 1 in 100');
    expect(plain(figuresText(figuresOf(known), spanish))).toBe('S37: 12 de 60 · 20 % (12–32); límite 20 % desde el 15 sept; probabilidad de pasar el próximo límite: menos de 1 de cada 100');
    expect(suggestedText(figuresOf(known), english)).toBe('Look at more plants');
  });

  it('are read back when the server leaves out what is zero', () => {
    expect(plain(figuresText({ plants_looked_at: 60 }, english))).toBe('0 of 60 · 0 %');
    expect(figuresText({}, english)).toBe('no looks');
    expect(figuresText(undefined, english)).toBe('no looks');
    expect(suggestedText({ suggested: 'toString' }, english)).toBeNull();
  });
});

describe('who decided', () => {
  it('is named also when somebody else changed it last', () => {
    expect(byText(decision, english)).toMatch(/^Dana Alder, [^·]*\d$/);
    const changed = { ...decision, recorded_by: { id: 'q', name: 'Eli Birch' } };
    expect(byText(changed, english)).toMatch(/^Dana Alder, .* · last changed by Eli Birch$/);
    expect(byText(changed, spanish)).toMatch(/^Dana Alder, .* · último cambio de Eli Birch$/);
  });
});

describe('the draft of a decision', () => {
  const kept = new Map<string, string>();
  beforeEach(() => {
    kept.clear();
    vi.stubGlobal('localStorage', {
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, value: string) => void kept.set(key, value),
      removeItem: (key: string) => void kept.delete(key),
    });
    return () => vi.unstubAllGlobals();
  });

  const made = { house_id: 'h', cultivar_id: 'c', organism_id: 'o', season_id: 'n', decided_at: '2026-09-09T09:00:00+02:00' };
  const draft = (more: Partial<DecisionDraft> = {}): DecisionDraft => ({ ...newDraft(), choice: 'look_at_more', because: ' too close ', ...more });

  it('is sent whole or not at all', () => {
    expect(bodyOf(draft(), () => made)).toEqual({ ...made, choice: 'look_at_more', because: 'too close' });
    expect(bodyOf(draft({ choice: null }), () => made)).toBeNull();
    expect(bodyOf(draft({ because: '  ' }), () => made)).toBeNull();
  });

  it('is sent the same again after an answer was lost, and made anew when something changed', () => {
    const sent = bodyOf(draft(), () => made);
    const later = { ...made, decided_at: '2026-09-09T10:00:00+02:00', figures: { suggested: 'look_at_more' } };
    expect(bodyOf(draft({ sent }), () => later)).toBe(sent);
    expect(bodyOf(draft({ sent, because: 'adviser said so' }), () => later)).toEqual({ ...later, decided_at: made.decided_at, choice: 'look_at_more', because: 'adviser said so' });
  });

  it('is kept until it is saved, for each person and sheet apart', () => {
    const key = draftKey('p', advice(), list);
    expect(key).not.toBe(draftKey('q', advice(), list));
    expect(key).not.toBe(draftKey('p', advice({ house_id: 'other' }), list));
    const one = draft();
    keepDraft(key, one);
    expect(keptDraft(key)).toEqual(one);
    expect(isBegun(one)).toBe(true);
    keepDraft(key, null);
    expect(keptDraft(key)).toBeNull();
    expect(isBegun(newDraft())).toBe(false);
  });

  it('is known not to be stored when it was refused, and only then', () => {
    expect([400, 401, 403, 404, 412, 413, 422].filter((status) => !isRefused({ status }))).toEqual([]);
    // no answer, a slow one, an id that is taken already, too many at once, a server in trouble: an earlier try may have arrived
    expect([-1, 0, 200, 408, 409, 429, 500, 503].filter((status) => isRefused({ status }))).toEqual([]);
  });

  it('begins anew when what was kept cannot be read, or nothing can be kept', () => {
    kept.set('k', 'no json');
    kept.set('l', '{"choice":"look_at_more"}');
    expect([keptDraft('k'), keptDraft('l')]).toEqual([null, null]);
    vi.unstubAllGlobals();
    expect(() => keepDraft('k', draft())).not.toThrow();
    expect(keptDraft('k')).toBeNull();
  });
});

describe('the correction of a decision', () => {
  it('sends what a person wrote and nothing of the server', () => {
    expect(written(decision)).toEqual(body);
  });

  it('says when it was done, with a note or without', () => {
    expect(carriedOut(decision, '2026-09-16', ' 200 wasps ')).toEqual({ ...body, done_on: '2026-09-16', done_note: '200 wasps' });
    expect(carriedOut({ ...decision, done_note: 'old' }, '2026-09-16', '')).toEqual({ ...body, done_on: '2026-09-16' });
  });

  it('takes it back with a reason, and gives it back without', () => {
    expect(takenBack(decision, ' wrong house ')).toEqual({ ...body, withdrawn_because: 'wrong house' });
    expect(written({ ...decision, withdrawn_because: 'wrong house' })).toEqual({ ...body, withdrawn_because: 'wrong house' });
  });
});
