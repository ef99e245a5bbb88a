import { describe, expect, it } from 'vitest';

import type { ComparedGroup, Comparison, FoliageContrast, TrendGroup, Trends } from '../../src/contract.gen';
import { placeLabels } from '../../src/marks';
import { adjustedText, comparisonAnswer, countsTogether, foliageAnswer, funnelSteps, heldGroups, heldTop, placeOf, someNames } from '../../src/trends/compare';
import { unmarked } from '../../src/trends/mark';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';

const english = { words: en, format: formatIn('en') };
const spanish = { words: es, format: formatIn('es') };
const plain = (text: string): string => unmarked(text).replaceAll('\u00a0', ' ');

function compared(key: string, rank: number, more: Partial<ComparedGroup> = {}): ComparedGroup {
  return {
    key,
    rank,
    plants_looked_at: 80,
    infested_plants: 15,
    infested_percent: 18.75,
    lower_percent: 11.7,
    upper_percent: 28.7,
    shrunken_percent: 16,
    funnel_lower_percent: 4,
    funnel_upper_percent: 26,
    differs: 'no',
    ...more,
  };
}

const group = (key: string): TrendGroup => ({ key, label: `Lot ${key}`, lots: 1, points: [], limits: [], answer: { code: 'no_limit' } });

function trends(groups: ComparedGroup[], more: Partial<Comparison> = {}): Trends {
  return {
    by: 'lot',
    organism_id: 'o',
    season_id: 's',
    interval: 'design',
    confidence_percent: 95,
    groups: groups.map(({ key }) => group(key)),
    left_out: { on_purpose: 0, withdrawn: 0 },
    comparison: { code: 'known', from_week: '2026-W33', to_week: '2026-W36', overall_percent: 18.75, groups, ...more },
  };
}

function answer(page: Trends, speech = english): string {
  if (!page.comparison) throw new Error('the page has no comparison');
  return plain(comparisonAnswer(page.comparison, heldGroups(page, speech), page.by, speech));
}

describe('groups held against each other', () => {
  it('stand by their rank, never by the share drawn towards the mean', () => {
    const handful = compared('1', 2, { plants_looked_at: 5, infested_plants: 1, infested_percent: 20, lower_percent: 3.6, upper_percent: 62.4, shrunken_percent: 17 });
    expect(heldGroups(trends([handful, compared('2', 1)]), english).map(({ name }) => name)).toEqual(['Lot 2', 'Lot 1']);
  });

  it('have the name of their group, and their key where the page has no such group', () => {
    const page = { ...trends([compared('1', 1)]), groups: [] };
    expect(heldGroups(page, english)[0]).toMatchObject({ name: '1', group: undefined });
    expect(heldGroups(trends([compared('', 1)]), english)[0]?.name).toBe('Lot not known');
  });

  it('are none in an older answer', () => {
    const page = trends([]);
    delete page.comparison;
    expect(heldGroups(page, english)).toEqual([]);
  });

  const many = [
    compared('1', 1, { differs: 'higher' }),
    compared('2', 2, { differs: 'higher' }),
    compared('3', 3),
    compared('4', 4, { differs: 'lower' }),
  ];

  it('are said to differ with the number of comparisons taken into account', () => {
    expect(answer(trends(many))).toBe(
      'W33 to W36, 4 lots: the plants of 2 are more infested and those of 1 less than those of the others together, taking into account that 4 groups were compared. More infested plants: Lot 1 and Lot 2. Less infested plants: Lot 4.',
    );
    expect(answer(trends(many), spanish)).toBe(
      'S33 a S36, 4 lotes: las plantas de 2 están más infestadas y las de 1 menos que las del resto, teniendo en cuenta que se compararon 4 grupos. Plantas más infestadas: Lot 1 y Lot 2. Plantas menos infestadas: Lot 4.',
    );
  });

  it('are spoken of by their plants, also where only fewer are infested', () => {
    const fewer = trends([compared('1', 1), compared('2', 2, { differs: 'lower' })]);
    expect(answer(fewer)).toContain('2 lots: the plants of 1 are less infested than those of the others together');
    expect(answer(fewer, spanish)).toContain('2 lotes: las plantas de 1 están menos infestadas que las del resto');
    for (const { trends: { held } } of [en, es]) {
      for (const way of ['higher', 'lower'] as const) expect(held.differs[way]).toMatch(/^plant/);
    }
  });

  it('are counted together, each with its own counts', () => {
    expect(countsTogether([compared('1', 1), compared('2', 2, { plants_looked_at: 20, infested_plants: 0 })])).toEqual({ infested: 15, looked: 100 });
    expect(plain(en.trends.held.marks.overall('15 of 100', '15 %'))).toBe('all together: 15 of 100 · 15 %');
  });

  it('count what is not known as a group that was compared, not as a lot', () => {
    expect(answer(trends([...many, compared('', 5)]))).toMatch(/^W33 to W36, 4 lots and one not known by name: .* taking into account that 5 groups were compared\./);
  });

  it('are said not to stand out where none does', () => {
    expect(answer(trends([compared('1', 1), compared('2', 2)]))).toBe(
      'W33 to W36, 2 lots: the plants of none stand out from those of the others, taking into account that 2 groups were compared.',
    );
    expect(answer(trends([compared('1', 1)], { from_week: '2026-W36' }))).toContain('W36, 1 lot: the plants of none stand out from those of the others, taking into account that 1 group was compared.');
    expect(answer(trends([compared('1', 1)]), spanish)).toContain('1 lote: las plantas de ningún grupo se apartan de las del resto, teniendo en cuenta que se comparó 1 grupo.');
  });

  it('cannot be compared on too few plants', () => {
    expect(answer(trends([], { code: 'cannot_say' }))).toBe('The groups cannot be held against each other yet: in W33 to W36 too few plants were looked at.');
    expect(answer(trends([]), spanish)).toContain('Aún no se pueden comparar los grupos');
  });

  it('differ by more than chance or not, and some may be named by chance', () => {
    expect(answer(trends(many, { homogeneity_p: 0 }))).toContain('Chance alone would hardly make the groups differ as much as they do.');
    expect(answer(trends(many, { homogeneity_p: 0.4 }))).toContain('Chance alone could make the groups differ as much as they do.');
    expect(answer(trends(many, { homogeneity_p: null }))).not.toContain('Chance alone');
    expect(answer(trends(many, { false_discovery_percent: 5 }))).toContain('It is unlikely that any of these is here by chance alone.');
    expect(answer(trends([compared('1', 1)], { false_discovery_percent: 5 }))).not.toContain('by chance');
  });

  it('are named in a sentence as far as one can read them', () => {
    expect(plain(someNames(['A', 'B', 'C', 'D', 'E'], english))).toBe('A, B, C, D, and E');
    expect(plain(someNames(['A', 'B', 'C', 'D', 'E', 'F'], english))).toBe('A, B, C, D, and 2 more');
    expect(plain(someNames(['A', 'B', 'C', 'D', 'E', 'F'], spanish))).toBe('A, B, C, D y 2 más');
  });
});

describe('the funnel', () => {
  it('tells the groups outside its lines from those on or between them', () => {
    expect(placeOf(compared('1', 1, { infested_percent: 26.1 }))).toBe('over');
    expect(placeOf(compared('1', 1, { infested_percent: 26 }))).toBe('inside');
    expect(placeOf(compared('1', 1, { infested_percent: 3.9 }))).toBe('under');
    expect(placeOf(compared('1', 1, { infested_percent: 0, funnel_lower_percent: 0 }))).toBe('inside');
  });

  it('draws its lines by plants looked at, the wider where two groups have different ones', () => {
    const steps = funnelSteps([compared('1', 1), compared('2', 2, { plants_looked_at: 20, funnel_lower_percent: 0, funnel_upper_percent: 40 }), compared('3', 3, { funnel_lower_percent: 3, funnel_upper_percent: 25 })]);
    expect(steps).toEqual([
      { plants: 20, lower: 0, upper: 40 },
      { plants: 80, lower: 3, upper: 26 },
    ]);
    expect(funnelSteps([])).toEqual([]);
  });

  it('has a scale that holds every share and is not flattened by a handful of plants', () => {
    const usual = Array.from({ length: 40 }, (_, i) => compared(String(i), i));
    expect(heldTop([...usual, compared('x', 41, { infested_percent: 20, upper_percent: 90 })])).toBe(30);
    expect(heldTop([compared('x', 1, { infested_percent: 100, upper_percent: 100 })])).toBe(100);
    expect(heldTop([])).toBe(5);
  });

  it('writes no name over another or over a point', () => {
    const room = { left: 0, right: 400, bottom: 300 };
    const placed = placeLabels([{ name: 'Frostveil', x: 100, y: 50 }, { name: 'Tarnflare', x: 104, y: 52 }, { name: 'Kelpstone', x: 390, y: 50 }], room);
    expect(placed.map(({ name }) => name)).toEqual(['Frostveil', 'Tarnflare', 'Kelpstone']);
    expect(placed[2]).toMatchObject({ anchor: 'end' });
    const [first, second] = placed;
    expect(first?.anchor === second?.anchor && Math.abs((first?.textY ?? 0) - (second?.textY ?? 0)) < 13).toBe(false);
    const crowd = Array.from({ length: 30 }, (_, i) => ({ name: `Group ${i}`, x: 200, y: 100 }));
    expect(placeLabels(crowd, room).length).toBeLessThan(7);
    expect(placeLabels([], room)).toEqual([]);
  });
});

describe('p-values', () => {
  it('are never written as nothing; one that the server leaves out of a group that differs is tiny', () => {
    const written = (p: number | undefined, differs: ComparedGroup['differs']): string => plain(adjustedText({ adjusted_p: p, differs }, english));
    expect(written(0.0004, 'higher')).toBe('< 0.001');
    expect(written(undefined, 'lower')).toBe('< 0.001');
    expect(written(undefined, 'no')).toBe('–');
    expect(written(0.034, 'higher')).toBe('0.034');
    expect(written(0.341, 'no')).toBe('0.34');
    expect(plain(adjustedText({ adjusted_p: 0.034, differs: 'higher' }, spanish))).toBe('0,034');
  });
});

describe('dark against light foliage', () => {
  const contrast = (code: FoliageContrast['code'], more: Partial<FoliageContrast> = {}): FoliageContrast => ({
    code,
    dark_plants_looked_at: 80,
    dark_infested_plants: 9,
    light_plants_looked_at: 90,
    light_infested_plants: 20,
    ...more,
  });
  const said = (code: FoliageContrast['code'], more: Partial<FoliageContrast> = {}, speech = english): string => plain(foliageAnswer(contrast(code, more), speech));

  it('says what it speaks for, with both counts', () => {
    expect(said('dark_too')).toBe('Found on dark-leaved cultivars too: 9 of 80 against 20 of 90 on light ones; that speaks for it being widespread.');
    expect(said('dark_too', {}, spanish)).toBe('También en cultivares de follaje oscuro: 9 de 80 frente a 20 de 90 en los de follaje claro; eso apunta a que está extendida.');
    expect(said('dark_more', { dark_infested_plants: 40 })).toContain('More on dark-leaved cultivars than on light ones: 40 of 80 against 20 of 90');
    expect(said('light_only', { dark_infested_plants: undefined })).toBe('Found on light-leaved cultivars only: 20 of 90, against 0 of 80 on dark ones; that speaks for it not being widespread yet.');
  });

  it('does not take no find for proof of none', () => {
    expect(said('none_found', { dark_infested_plants: 0, light_infested_plants: 0, difference_percent: 0, lower_percent: -4, upper_percent: 5 })).toBe(
      'On neither light-leaved nor dark-leaved cultivars was any found: 0 of 90 and 0 of 80. That rules out little where few plants were looked at.',
    );
  });

  it('gives the difference with its interval', () => {
    expect(said('dark_too', { difference_percent: -10.97, lower_percent: -21.9, upper_percent: 0.5 })).toMatch(/Dark less light: −11 percentage points \(from −21\.9 to \+0\.5\)\.$/);
    expect(said('dark_too', { difference_percent: -10.97, lower_percent: -21.9, upper_percent: 0 }, spanish)).toMatch(/Oscuro menos claro: −11 puntos porcentuales \(de −21,9 a 0\)\.$/);
  });

  it('says when it cannot be told, and nothing where no tone is known', () => {
    expect(said('cannot_say', { dark_plants_looked_at: undefined })).toContain('cannot be held against each other yet: 90 light-leaved and 0 dark-leaved plants were looked at.');
    expect(said('cannot_say', { dark_plants_looked_at: undefined, light_plants_looked_at: undefined })).toBe('');
  });
});
