import { describe, expect, it } from 'vitest';

import type { Look, LookBody } from '../../src/contract.gen';
import { begun, countsOf, newDraft, notReady, step, type Action, type Draft } from '../../src/walk/draft';
import { bodyOf, bodyOfLook, draftOf } from '../../src/walk/draft-body';

const whitefly = 'whitefly';
const thrips = 'thrips';
const stages = ['small_nymph', 'large_nymph', 'pupa', 'adult'];
const at = '2026-09-14T07:05:00+02:00';

const none: Action = { do: 'mark', organism_id: null, at };
const seen: Action = { do: 'mark', organism_id: whitefly, at };

function taking(...actions: Action[]): Draft {
  const fresh = newDraft({ id: 'look', site_id: 'site', block_id: 'block', person_id: 'scout' });
  return actions.reduce(step, step(fresh, { do: 'choose_lot', lot_id: 'lot', organism_id: whitefly }));
}

/** A look as the server would answer it. */
function stored(body: LookBody, version = 1): Look {
  return {
    ...body,
    id: 'look',
    version,
    recorded_at: at,
    recorded_by: { id: 'scout', name: 'Scout' },
    site_id: 'site',
    house_id: 'house',
    looked_on: '2026-09-14',
    week: '2026-W38',
    results: [],
    doubts: [],
  };
}

describe('marking plants', () => {
  it('counts what was seen and what was not', () => {
    const draft = taking(none, seen, none, seen);
    expect(countsOf(draft, whitefly, stages)).toEqual({ looked_at: 4, seen: 2, infested: 2 });
  });

  it('takes the moment of the first mark, and keeps it', () => {
    const draft = taking(none, { do: 'mark', organism_id: null, at: '2026-09-14T07:20:00+02:00' });
    expect(draft.looked_at).toBe(at);
  });

  it('undoes the last plant, and nothing when there is none', () => {
    const draft = taking(none, seen, { do: 'undo' });
    expect(countsOf(draft, whitefly, stages)).toEqual({ looked_at: 1, seen: 0, infested: 0 });
    const empty = taking();
    expect(step(empty, { do: 'undo' })).toBe(empty);
  });

  it('changes an earlier plant', () => {
    const draft = taking(none, seen, { do: 'see', plant: 0, organism_id: whitefly, seen: true }, { do: 'see', plant: 1, organism_id: whitefly, seen: false });
    expect(draft.plants.map(({ found }) => found.length)).toEqual([1, 0]);
  });

  it('drops a plant from the middle', () => {
    expect(taking(none, seen, none, { do: 'drop', plant: 1 }).plants.map(({ found }) => found.length)).toEqual([0, 0]);
  });

  it('forgets the signs of a plant that turns out to have none', () => {
    const draft = taking(
      seen,
      { do: 'toggle_sign', plant: 0, organism_id: whitefly, stage: 'pupa', place: 'old_growth' },
      { do: 'see', plant: 0, organism_id: whitefly, seen: false },
    );
    expect(bodyOf(draft).targets[0]?.plants).toEqual([{ seen: false }]);
  });

  it('does not count a plant with only an empty case, and counts it again with a living nymph', () => {
    const shell = taking(none, seen, { do: 'toggle_sign', plant: 1, organism_id: whitefly, stage: 'empty_case', place: 'old_growth' });
    expect(countsOf(shell, whitefly, stages)).toEqual({ looked_at: 2, seen: 1, infested: 0 });
    const nymph = step(shell, { do: 'toggle_sign', plant: 1, organism_id: whitefly, stage: 'small_nymph', place: 'new_growth' });
    expect(countsOf(nymph, whitefly, stages)).toEqual({ looked_at: 2, seen: 1, infested: 1 });
  });

  it('notes a sign with one tap and takes it back with the next', () => {
    const toggle: Action = { do: 'toggle_sign', plant: 0, organism_id: whitefly, stage: 'adult', place: 'new_growth' };
    const once = taking(seen, toggle);
    expect(once.plants[0]?.found[0]?.signs).toEqual([{ stage: 'adult', place: 'new_growth' }]);
    expect(step(once, toggle).plants[0]?.found[0]?.signs).toEqual([]);
  });

  it('keeps the same stage twice when the states differ', () => {
    const draft = taking(
      seen,
      { do: 'toggle_sign', plant: 0, organism_id: whitefly, stage: 'pupa', place: 'old_growth' },
      { do: 'add_sign', plant: 0, organism_id: whitefly, sign: { stage: 'pupa', place: 'old_growth', state: 'parasitised' } },
      { do: 'edit_sign', plant: 0, organism_id: whitefly, at: 1, change: { colour: 'tan', amount: 'few' } },
    );
    expect(draft.plants[0]?.found[0]?.signs).toEqual([
      { stage: 'pupa', place: 'old_growth' },
      { stage: 'pupa', place: 'old_growth', state: 'parasitised', colour: 'tan', amount: 'few' },
    ]);
  });
});

describe('the block', () => {
  const said = taking({ do: 'crop_stage', stage: 'pinched' }, { do: 'hot_spot', where: 'back' });

  it('has its crop stage and hot spot in the look, and nothing where none was said', () => {
    expect(bodyOf(step(said, none))).toMatchObject({ crop_stage: 'pinched', hot_spot: 'back' });
    const nothing = bodyOf(taking(none, { do: 'hot_spot', where: ' ' }));
    expect(nothing).not.toHaveProperty('crop_stage');
    expect(nothing).not.toHaveProperty('hot_spot');
  });

  it('is worth keeping before a plant is marked', () => {
    expect(begun(taking({ do: 'crop_stage', stage: 'pinched' }))).toBe(true);
    expect(begun(taking({ do: 'hot_spot', where: 'back' }))).toBe(true);
    expect(begun(taking())).toBe(false);
  });

  it('keeps what was said of it when the look is corrected, until it is said anew', () => {
    const again = draftOf(stored(bodyOf(step(said, none))), 'other');
    expect(bodyOf(again)).toMatchObject({ crop_stage: 'pinched', hot_spot: 'back' });
    expect(bodyOf(step(step(again, { do: 'hot_spot', where: '' }), { do: 'crop_stage', stage: null }))).not.toHaveProperty('hot_spot');
  });
});

describe('an organism added on the way', () => {
  const draft = taking(none, none, { do: 'seek', organism_id: thrips, on: true }, none, { do: 'mark', organism_id: thrips, at });

  it('was not looked for on the plants before', () => {
    expect(countsOf(draft, thrips, stages)).toEqual({ looked_at: 2, seen: 1, infested: 1 });
    expect(countsOf(draft, whitefly, stages)).toEqual({ looked_at: 4, seen: 0, infested: 0 });
    expect(bodyOf(draft).targets.map(({ plants }) => plants?.length)).toEqual([4, 2]);
  });

  it('keeps its plants when an earlier one is dropped', () => {
    expect(countsOf(step(draft, { do: 'drop', plant: 0 }), thrips, stages).looked_at).toBe(2);
    expect(countsOf(step(draft, { do: 'undo' }), thrips, stages)).toEqual({ looked_at: 1, seen: 0, infested: 0 });
  });

  it('is not sent when no plant was looked at for it', () => {
    const late = taking(none, { do: 'seek', organism_id: thrips, on: true });
    expect(bodyOf(late).targets.map(({ organism_id }) => organism_id)).toEqual([whitefly]);
  });

  it('takes its findings with it when it is left out, but the last one stays', () => {
    const without = step(draft, { do: 'seek', organism_id: thrips, on: false });
    expect(without.plants.every(({ found }) => found.length === 0)).toBe(true);
    expect(step(without, { do: 'seek', organism_id: whitefly, on: false })).toBe(without);
  });
});

describe('the look that is sent', () => {
  it('is eighteen plants, four with it and one sign each, in 22 steps', () => {
    const steps: Action[] = [];
    for (let plant = 0; plant < 18; plant++) {
      if (plant % 5 !== 2) steps.push(none);
      else steps.push(seen, { do: 'toggle_sign', plant, organism_id: whitefly, stage: 'large_nymph', place: 'old_growth' });
    }
    expect(steps).toHaveLength(22);
    const body = bodyOf(taking(...steps));
    expect(body).toMatchObject({ block_id: 'block', lot_id: 'lot', looked_at: at, observer_id: 'scout', purpose: 'planned', note: null });
    expect(body.targets[0]?.plants?.filter((plant) => plant.seen)).toEqual(
      Array(4).fill({ seen: true, signs: [{ stage: 'large_nymph', place: 'old_growth' }] }),
    );
    expect(body.targets[0]?.plants).toHaveLength(18);
    expect(body.targets[0]?.signs_looked_for).toBe(true);
  });

  it('says that signs were looked for only when every plant with a find has one', () => {
    const half = taking(seen, { do: 'toggle_sign', plant: 0, organism_id: whitefly, stage: 'adult', place: 'new_growth' }, seen);
    expect(bodyOf(half).targets[0]?.signs_looked_for).toBe(false);
    expect(bodyOf(taking(none)).targets[0]?.signs_looked_for).toBe(true);
    expect(bodyOf(taking(none, { do: 'note_signs', on: false })).targets[0]?.signs_looked_for).toBe(false);
  });

  it('is the same each time it is sent', () => {
    const draft = taking(none, seen);
    expect(JSON.stringify(bodyOf(draft))).toBe(JSON.stringify(bodyOf(structuredClone(draft))));
  });

  it('carries the classes of a disease once every plant with it has one', () => {
    const mould = 'mould';
    const fresh = step(newDraft({ id: 'l', site_id: 's', block_id: 'b', person_id: 'p' }), { do: 'choose_lot', lot_id: null, organism_id: mould });
    const marked: Draft = [none, { do: 'mark', organism_id: mould, at } as const, { do: 'mark', organism_id: mould, at } as const].reduce(step, fresh);
    expect(bodyOf(marked).targets[0]?.severity).toBeUndefined();
    const classed = step(step(marked, { do: 'severity', plant: 1, organism_id: mould, severity: 1 }), {
      do: 'severity',
      plant: 2,
      organism_id: mould,
      severity: 3,
    });
    expect(bodyOf(classed).targets[0]?.severity).toEqual([1, 1, 0, 1, 0]);
    expect(bodyOf(draftOf(stored(bodyOf(classed)), 'p')).targets[0]?.severity).toEqual([1, 1, 0, 1, 0]);
  });

  it('as a tally has counts and signs of the block, and no plants', () => {
    const draft = taking(
      { do: 'way', way: 'tally' },
      { do: 'tally', organism_id: whitefly, looked_at: 20, infested: 3, at },
      { do: 'block_sign', organism_id: whitefly, stage: 'pupa', place: 'old_growth' },
    );
    expect(bodyOf(draft).targets).toEqual([
      {
        organism_id: whitefly,
        signs_looked_for: true,
        tally: { plants_looked_at: 20, infested_plants: 3 },
        signs: [{ stage: 'pupa', place: 'old_growth' }],
      },
    ]);
  });
});

describe('when it can be finished', () => {
  it('wants a lot, or the word that it is not known, and plants', () => {
    expect(notReady(newDraft({ id: 'l', site_id: 's', block_id: 'b', person_id: 'p' }))).toBe('lot');
    expect(notReady(taking())).toBe('plants');
    expect(notReady(taking(none))).toBeNull();
    expect(notReady(taking(none, { do: 'choose_lot', lot_id: null, organism_id: whitefly }))).toBeNull();
  });

  it('refuses a tally with more infested than looked at', () => {
    const tally = (looked_at: number | null, infested: number | null): Draft =>
      taking({ do: 'way', way: 'tally' }, { do: 'tally', organism_id: whitefly, looked_at, infested, at });
    expect(notReady(tally(20, null))).toBe('tally');
    expect(notReady(tally(0, 0))).toBe('tally');
    expect(notReady(tally(20, 21))).toBe('more_infested');
    expect(notReady(tally(20, 20))).toBeNull();
  });
});

describe('changing the lot', () => {
  it('keeps the marks and what was looked for', () => {
    const draft = taking(none, { do: 'seek', organism_id: thrips, on: true }, { do: 'choose_lot', lot_id: 'other', organism_id: 'mite' });
    expect(draft.lot_id).toBe('other');
    expect(draft.plants).toHaveLength(1);
    expect(draft.sought.map(({ organism_id }) => organism_id)).toEqual([whitefly, thrips]);
  });

  it('starts with the main pest of the crop while nothing is marked', () => {
    expect(taking({ do: 'choose_lot', lot_id: 'other', organism_id: 'mite' }).sought.map(({ organism_id }) => organism_id)).toEqual(['mite']);
    expect(begun(taking())).toBe(false);
  });
});

describe('a stored look opened again', () => {
  const draft = taking(
    none,
    seen,
    { do: 'toggle_sign', plant: 1, organism_id: whitefly, stage: 'pupa', place: 'old_growth' },
    { do: 'dense', plant: 1, organism_id: whitefly, on: true },
    { do: 'seek', organism_id: thrips, on: true },
    { do: 'mark', organism_id: thrips, at },
    { do: 'note', note: 'by the door' },
  );

  it('gives back the very body it was made of', () => {
    const look = stored(bodyOf(draft), 3);
    const again = draftOf(look, 'owner');
    expect(again).toMatchObject({ id: 'look', version: 3, person_id: 'owner', observer_id: 'scout' });
    expect(bodyOf(again)).toEqual(bodyOf(draft));
    expect(bodyOfLook(look)).toEqual({ ...bodyOf(draft), withdrawn_because: null });
  });

  it('sends back what this screen does not show', () => {
    const tallied = { organism_id: 'mite', signs_looked_for: false, tally: { plants_looked_at: 9, infested_plants: 1 } };
    const body = bodyOf(draft);
    const again = draftOf(stored({ ...body, targets: [...body.targets, tallied] }), 'owner');
    expect(again.sought.map(({ organism_id }) => organism_id)).toEqual([whitefly, thrips]);
    expect(bodyOf(again).targets.at(-1)).toEqual(tallied);
  });
});
