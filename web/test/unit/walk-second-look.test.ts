import { describe, expect, it } from 'vitest';

import type { Daybook, InspectionBody, Organism } from '../../src/contract.gen';
import type { Waiting } from '../../src/local/db';
import { newDraft, step, type Action, type Draft } from '../../src/walk/draft';
import { namesOf } from '../../src/walk/round';
import { isLate, secondLookDue, secondLookOf, withoutMade } from '../../src/walk/second-look';

const at = '2026-09-14T07:05:00+02:00';
const author = { version: 1, recorded_at: at, recorded_by: { id: 'scout', name: 'Scout' } };
const organism: Organism = {
  ...author,
  id: 'whitefly',
  scientific_name: 'w',
  common_name: 'w',
  common_name_es: 'w',
  kind: 'insect',
  infested_stages: ['small_nymph', 'large_nymph', 'adult'],
};

const book: Daybook = {
  now: at,
  version: 'v',
  on: '2026-09-14',
  week: '2026-W38',
  site: { ...author, id: 'site', name: 'Site', time_zone: 'Europe/Madrid' },
  ...{ houses: [], sections: [], blocks: [], lots: [], placements: [], cultivars: [], crops: [], thresholds: [], looks: [], holds: [] },
  ...{ customers: [], shipments: [], inspections: [], verdicts: [], suppliers: [], farms: [], seasons: [] },
  organisms: [organism],
  second_looks: [
    { lot_id: 'late', due_from: '2026-09-02', due_to: '2026-09-06' },
    { lot_id: 'due', due_from: '2026-09-14', due_to: '2026-09-18' },
    { lot_id: 'waits', due_from: '2026-09-15', due_to: '2026-09-19' },
  ],
};

function taking(...actions: Action[]): Draft {
  const fresh = newDraft({ id: 'look', site_id: 'site', block_id: 'block', person_id: 'scout' });
  return actions.reduce(step, step(fresh, { do: 'choose_lot', lot_id: 'due', organism_id: 'whitefly' }));
}

const also: Action = { do: 'second_look', id: 'second' };
const none: Action = { do: 'mark', organism_id: null, at };
const seen: Action = { do: 'mark', organism_id: 'whitefly', at };
const sign = (plant: number, place: 'new_growth' | 'old_growth', stage: 'large_nymph' | 'empty_case' = 'large_nymph'): Action => ({
  do: 'toggle_sign',
  plant,
  organism_id: 'whitefly',
  stage,
  place,
});

describe('a second look in the walk', () => {
  it('is due from its first day on, and late after its last', () => {
    expect(['late', 'due', 'waits', 'other'].map((lot) => secondLookDue(book, lot) !== undefined)).toEqual([true, true, false, false]);
    expect(['late', 'due'].map((lot) => isLate(book, secondLookDue(book, lot) ?? { lot_id: lot, due_from: '', due_to: '' }))).toEqual([true, false]);
  });

  it('is unknown to a daybook that an earlier version kept', () => {
    const earlier = { ...book };
    delete earlier.second_looks;
    expect(secondLookDue(earlier, 'due')).toBeUndefined();
  });

  it('has the counts of the look, and each sign once for a plant', () => {
    const draft = taking(also, { do: 'lens', power: 15 }, none, seen, sign(1, 'new_growth'), sign(1, 'old_growth'), seen, sign(2, 'old_growth', 'empty_case'));
    expect(secondLookOf(draft, namesOf(book))).toEqual({
      id: 'second',
      body: {
        lot_id: 'due',
        kind: 'second_look',
        inspected_at: at,
        inspector_id: 'scout',
        lens_power: 15,
        findings: [
          {
            organism_id: 'whitefly',
            plants_looked_at: 3,
            infested_plants: 1,
            signs: [
              { stage: 'large_nymph', state: 'alive', plants: 1 },
              { stage: 'empty_case', state: 'alive', plants: 1 },
            ],
          },
        ],
      },
    });
  });

  it('says nothing of a lens where none was named', () => {
    expect(secondLookOf(taking(also, none), namesOf(book))?.body).not.toHaveProperty('lens_power');
  });

  it('is made only where a person said so, of plants taken as they come, once', () => {
    expect(secondLookOf(taking(none), namesOf(book))).toBeNull();
    expect(secondLookOf(taking(also, none, { do: 'second_look', id: null }), namesOf(book))).toBeNull();
    expect(secondLookOf(taking(also, none, { do: 'purpose', purpose: 'on_purpose' }), namesOf(book))).toBeNull();
    expect(secondLookOf({ ...taking(also, none), version: 1 }, namesOf(book))).toBeNull();
  });

  it('is not carried over to another lot', () => {
    expect(taking(also, { do: 'choose_lot', lot_id: 'late', organism_id: 'whitefly' }).second).toBeNull();
    expect(taking(also, { do: 'choose_again' }, { do: 'choose_lot', lot_id: 'due', organism_id: 'whitefly' }).second).toEqual({ id: 'second', lens: null });
  });

  it('is no longer open once it waits on this phone, and open again once it is withdrawn', () => {
    const waiting = (withdrawn_because: string | null, seq: number): Waiting => {
      const body: InspectionBody = { lot_id: 'due', kind: 'second_look', inspected_at: at, findings: [], withdrawn_because };
      return { noun: 'inspections', id: 'second', body: { ...body }, seq, person_id: 'scout', person_name: '', site_id: 'site', title: '', made_at: at, problem: null };
    };
    const open = (records: Waiting[]): unknown => withoutMade(book, records).second_looks?.map(({ lot_id }) => lot_id);
    expect(open([waiting(null, 1)])).toEqual(['late', 'waits']);
    expect(open([waiting(null, 1), waiting('undone', 2)])).toEqual(['late', 'due', 'waits']);
    expect(withoutMade(book, [])).toBe(book);
  });
});
