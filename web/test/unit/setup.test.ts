import { describe, expect, it } from 'vitest';

import type { Block, Recorded } from '../../src/contract.gen';
import { blockNames } from '../../src/setup/block-names';
import { block } from '../../src/setup/kinds/block';
import { cultivar } from '../../src/setup/kinds/cultivar';
import { bodyOf, compare, draftOf, rebase, type Draft } from '../../src/setup/record/kind';
import { namesInUse } from '../../src/setup/shared-name';
import { nextStep, steps } from '../../src/setup/steps';
import * as en from '../../src/words/en';

interface Body {
  name: string;
  area?: number | null;
  tags?: string[];
}

describe('a draft', () => {
  it('takes only what a person wrote from the stored record', () => {
    const stored: Body & Recorded = { id: 'i', version: 3, recorded_at: '', recorded_by: { id: 'p', name: 'P' }, name: 'A' };
    expect(draftOf<Body, Body & Recorded>({ members: ['name', 'area'] }, stored)).toEqual({ name: 'A', area: undefined });
  });

  it('is sent without what was left empty, and without blanks around it', () => {
    const draft: Draft<Body> = { name: '  North 2 ', area: null, tags: [] };
    expect(bodyOf(draft)).toEqual({ name: 'North 2', tags: [] });
    expect(bodyOf<Body>({ name: '', area: 0 })).toEqual({ area: 0 });
  });
});

describe('two versions', () => {
  it('are laid over each other so that neither person loses what they changed', () => {
    const before: Draft<Body> = { name: 'A', area: 9, tags: ['x'] };
    const mine: Draft<Body> = { name: 'Mine', area: 9, tags: ['x'] };
    const theirs: Draft<Body> = { name: 'Theirs', area: 12, tags: ['x', 'y'] };
    expect(rebase(before, mine, theirs)).toEqual({ name: 'Mine', area: 12, tags: ['x', 'y'] });
    expect(rebase(before, { ...mine, area: null }, theirs).area).toBeNull();
  });

  it('stand side by side, what differs first', () => {
    const rows = compare(
      [{ term: 'Name', value: 'A' }, { term: 'Area', value: '9 m²' }],
      [{ term: 'Name', value: 'A' }, { term: 'Area', value: '12 m²' }, { term: 'Note', value: 'x' }],
    );
    expect(rows.map(({ term, differs }) => [term, differs])).toEqual([['Area', true], ['Note', true], ['Name', false]]);
    expect(rows[0]).toEqual({ term: 'Area', theirs: '9 m²', mine: '12 m²', differs: true });
  });
});

describe('a row of blocks', () => {
  it('is named so that the names stay in order', () => {
    expect(blockNames('A', 1, 3)).toEqual(['A 01', 'A 02', 'A 03']);
    expect(blockNames('', 99, 101)).toEqual(['099', '100', '101']);
  });

  it('is not made when it is too long, turned round or no row', () => {
    expect(blockNames('A', 1, 200)).toHaveLength(200);
    expect(blockNames('A', 1, 201)).toEqual([]);
    expect(blockNames('A', 3, 1)).toEqual([]);
    expect(blockNames('A', -1, 1)).toEqual([]);
  });
});

describe('the first steps', () => {
  it('come in the order in which one hangs on another', () => {
    const none = { site: false, house: false, block: false, supplier: false, crop: false, cultivar: false, season: false, limit: false };
    expect(nextStep(none)).toBe('site');
    expect(nextStep({ ...none, site: true, house: true, supplier: true })).toBe('block');
    expect(nextStep({ site: true, house: true, block: true, supplier: true, crop: true, cultivar: true, season: true, limit: true })).toBeNull();
    expect(Object.keys(en.setup.step)).toEqual([...steps]);
  });
});

describe('every code the server uses', () => {
  // As listed for the pages in the contract's notes on problems.
  const codes =
    'sign_in wrong_password forbidden other_origin too_often bad_if_match not_json invalid conflict stale not_found busy bad_request method_not_allowed too_large not_json_type internal starting no_database name_taken code_taken email_taken year_taken';
  const fields =
    'missing unknown_member wrong_type not_in_list wrong_form too_small too_large too_short too_long too_few too_many twice not_found not_allowed unknown_time_zone window_reversed before_start out_of_range out_of_order not_wanted same_block unknown_kind fewer_than_placed more_than_there plants_and_tally no_plants more_infested_than_looked_at signs_on_unseen severity_does_not_add_up before_departure more_than_lot demo_only last_owner not_changeable cultivar_not_known plants_not_a_number farm_not_known not_json';

  it('is said in words', () => {
    expect(Object.keys(en.problems.codes)).toEqual(expect.arrayContaining(codes.split(' ')));
    expect(Object.keys(en.problems.fields)).toEqual(expect.arrayContaining(fields.split(' ')));
  });
});

describe('the names of water and tools in use', () => {
  const standing = (name: string, more: Partial<Block>): Block => ({ id: name, version: 1, recorded_at: '', recorded_by: { id: 'p', name: 'P' }, site_id: 's', house_id: 'h', name, position: 1, ...more });
  const blocks = [standing('a', { water: 'Tank 10' }), standing('b', { water: 'Tank 2', tools: 'Blue' }), standing('c', { water: 'Tank 10' }), standing('d', { water: null })];

  it('are offered once each, in the order of their numbers', () => {
    expect(namesInUse(blocks, 'water')).toEqual(['Tank 2', 'Tank 10']);
    expect(namesInUse(blocks, 'tools')).toEqual(['Blue']);
  });
});

describe('the GTIN of a cultivar', () => {
  const { faults } = cultivar([]);

  it('is refused on the page when its check digit does not fit or a digit is missing', () => {
    const wrong = [{ pointer: '/gtin', code: 'wrong_gtin' }];
    expect(faults?.({ gtin: '4006381333932' })).toEqual(wrong);
    expect(faults?.({ gtin: '400638133393' })).toEqual(wrong);
    expect(Object.keys(en.problems.fields)).toContain('wrong_gtin');
  });

  it('may be left out', () => {
    expect(faults?.({ gtin: '4006381333931' })).toEqual([]);
    expect(faults?.({ gtin: '' })).toEqual([]);
    expect(faults?.({})).toEqual([]);
  });
});

describe('a record corrected in the setup', () => {
  it('keeps all that a block or a cultivar can say', () => {
    expect(block([], [], []).members).toEqual(expect.arrayContaining(['quarantine', 'water', 'tools']));
    expect(cultivar([]).members).toContain('gtin');
  });
});
