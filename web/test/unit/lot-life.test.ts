import { describe, expect, it } from 'vitest';

import type { Hold, Inspection, Look, Lot, LotHold, LotLife, Movement, Placement, Verdict } from '../../src/contract.gen';
import { actionsFor } from '../../src/dock/lot/action/possible';
import { newestFirst, timelineOf, type LifeEvent } from '../../src/dock/lot/life/events';
import type { Ancestor, Records } from '../../src/dock/lot/life/found';
import { lifeSentences } from '../../src/dock/lot/life/sentence';
import { sumOf } from '../../src/dock/lot/life/tally';
import { everywhere, movementBodyOf, missingInMovement, newMovement, sourcesOf, staysOf, toggleMerged, unplaced, usualPlants, type Standing } from '../../src/dock/lot/movement';
import { conflictAdvice, conflictText } from '../../src/dock/shared/conflict';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const recorded = { version: 1, recorded_at: '2026-09-01T06:00:00Z', recorded_by: { id: 'p', name: 'Halvi' }, site_id: 's' };

function movement(id: string, kind: Movement['kind'], moved_at: string, change: Partial<Movement> = {}): Movement {
  return { id, ...recorded, lot_id: 'l', kind, moved_at, plants: 10, while_held: false, ...change };
}

const life = (change: Partial<LotLife> = {}): LotLife => ({
  lot_id: 'l',
  state: 'potted',
  tally: { received: 540, unplaced: 0, placed: 518, discarded: 22, dispatched: 0, split_off: 0, merged_away: 0, gained: 0, lost: 0 },
  strike: { count: 0, of: 0 },
  composition: [],
  ancestors: [],
  children: [],
  placements: [],
  recounts: [],
  holds: [],
  ...change,
});

const records = (...movements: Movement[]): Records => ({ movements, inspections: [] as Inspection[], verdicts: [] as Verdict[], looks: [] as Look[] });
const ids = (events: readonly LifeEvent[]): string[] => events.map(({ id }) => id);

describe('the timeline of a lot', () => {
  it('goes from the newest to the oldest, whatever the offset of a moment', () => {
    const { standing } = timelineOf(
      life(),
      records(
        movement('old', 'receive', '2026-09-01T08:00:00+02:00'),
        movement('new', 'move', '2026-09-01T07:30:00+01:00'),
        movement('mid', 'stick', '2026-09-01T06:10:00Z'),
      ),
      [],
    );
    expect(ids(standing)).toEqual(['new', 'mid', 'old']);
  });

  it('keeps the order of the book within one moment', () => {
    const at = '2026-09-01T08:00:00Z';
    const event = (id: string, kind: Movement['kind']): LifeEvent => ({ what: 'movement', at, id, on: null, movement: movement(id, kind, at), recount: null });
    expect(ids(newestFirst([event('a', 'count'), event('b', 'split'), event('c', 'move')]))).toEqual(['a', 'b', 'c']);
  });

  it('folds away what was withdrawn', () => {
    const { standing, withdrawn } = timelineOf(
      life(),
      records(movement('kept', 'stick', '2026-09-01T08:00:00Z'), movement('gone', 'move', '2026-09-02T08:00:00Z', { withdrawn_because: 'mistake' })),
      [],
    );
    expect([ids(standing), ids(withdrawn)]).toEqual([['kept'], ['gone']]);
  });

  it('takes from an ancestor what happened before the plants left it, once, and says on which lot', () => {
    const split = movement('split', 'split', '2026-09-03T08:00:00Z', { lot_id: 'parent' });
    const ancestor: Ancestor = {
      of: { lot_id: 'parent', arrival: true, until: '2026-09-03T10:00:00+02:00', percent: 100 },
      records: records(
        movement('before', 'stick', '2026-09-01T08:00:00Z'),
        movement('undone', 'pot', '2026-09-02T08:00:00Z', { withdrawn_because: 'mistake' }),
        split,
        movement('after', 'discard', '2026-09-04T08:00:00Z'),
      ),
    };
    const { standing } = timelineOf(life(), records(split), [ancestor, ancestor]);
    expect(standing.map(({ id, on }) => [id, on])).toEqual([
      ['split', null],
      ['before', 'parent'],
    ]);
  });

  it('shows when a hold began and when it was lifted, and leaves a verdict that holds to the verdict', () => {
    const hold: LotHold = { id: 'h', by: 'hold', kind: 'internal', from_at: '2026-09-01T08:00:00Z', to_at: '2026-09-02T08:00:00Z', reason: 'whitefly' };
    const { standing } = timelineOf(life({ holds: [hold, { ...hold, id: 'v', by: 'verdict' }] }), records(), []);
    expect(standing.map(({ what, id }) => [what, id])).toEqual([
      ['lifted', 'h'],
      ['held', 'h'],
    ]);
  });
});

describe('the sum of a lot', () => {
  it('adds up, and names only what there is', () => {
    const { came, went } = sumOf({ received: 600, unplaced: 5, placed: 395, discarded: 20, dispatched: 100, split_off: 80, merged_away: 0, gained: 3, lost: 3 }, false);
    const total = (terms: { plants: number }[]): number => terms.reduce((sum, { plants }) => sum + plants, 0);
    expect(came.map(({ key }) => key)).toEqual(['received', 'gained']);
    expect(went.map(({ key }) => key)).toEqual(['onHand', 'discarded', 'dispatched', 'splitOff', 'lost']);
    expect([total(came), total(went)]).toEqual([603, 603]);
  });
});

describe('the sentences of a lot', () => {
  const lot = { id: 'l', code: '27-01', arrived_on: '2026-06-30', shipment_id: 'sh' } as Lot;
  const speak = (language: 'en' | 'es') => ({
    words: language === 'en' ? en : es,
    f: formatIn(language),
    dayOf: (moment: string) => moment.slice(0, 10),
    cultivar: 'Frostveil',
    supplier: 'Varnholt',
    codeOf: (id: string) => ({ p1: '27-01', p2: '30-02' })[id] ?? '–',
    whoHeld: () => 'Odrun',
  });

  it('say where an arrival came from, what is left of it, and that it is not held', () => {
    expect(lifeSentences(lot, life(), null, speak('en')).map(plain)).toEqual([
      '**27-01**, Frostveil, arrived **30 Jun** from Varnholt.',
      'It is potted; **518 of 540** plants are on hand.',
      'It is not held.',
    ]);
  });

  it('say of a lot that was split off from which, and of a merged one from which', () => {
    const born: Lot = { ...lot, shipment_id: null };
    const began = life({ born_at: '2026-09-14T08:00:00Z' });
    expect(plain(lifeSentences(born, began, { kind: 'split', lot_id: 'p1' }, speak('en'))[0] ?? '')).toBe(
      '**27-01**, Frostveil, was split off **27-01** on **14 Sep**; its plants arrived 30 Jun.',
    );
    const parts = [
      { lot_id: 'p1', plants: 5 },
      { lot_id: 'p2', plants: 5 },
      { lot_id: 'p2', plants: 3 },
    ];
    expect(plain(lifeSentences(born, began, { kind: 'merge', lot_id: 'l', parts }, speak('es'))[0] ?? '')).toBe(
      '**27-01**, Frostveil, se juntó de **27-01 y 30-02** el **14 sept**.',
    );
  });

  it('say by whom, since when and why it is held', () => {
    const held = life({ holds: [{ id: 'h', by: 'hold', kind: 'official', from_at: '2026-09-12T08:00:00Z', reason: 'Ralstonia' }] });
    expect(plain(lifeSentences(lot, held, null, speak('en'))[2] ?? '')).toBe('**Held** since 12 Sep by Odrun (official hold: Ralstonia).');
    expect(plain(lifeSentences(lot, held, null, speak('es'))[2] ?? '')).toBe('**Retenido** desde el 12 sept por Odrun (retención oficial: Ralstonia).');
  });
});

describe('an action', () => {
  const standing: Standing = {
    blocks: [
      { blockId: 'small', plants: 100, since: '' },
      { blockId: 'big', plants: 401, since: '' },
    ],
    unplaced: 0,
  };
  const lot = { id: 'l', plants: 540 };

  it('begins where most plants stand, with the number that is most likely', () => {
    expect(newMovement('move', lot, standing)).toMatchObject({ from: 'big', plants: 401 });
    expect(newMovement('split', lot, standing)).toMatchObject({ from: 'big', plants: 200, to: null });
    expect(newMovement('space', lot, standing)).toMatchObject({ from: 'big', to: 'big', plants: 401 });
    expect(newMovement('pinch', lot, standing)).toMatchObject({ from: everywhere, plants: 501 });
    expect(newMovement('count', lot, standing)).toMatchObject({ from: 'big', plants: 401 });
  });

  it('never guesses how many are thrown out or have roots', () => {
    expect(newMovement('discard', lot, standing).plants).toBeNull();
    expect(missingInMovement(newMovement('root', lot, standing))).toEqual(['/rooted']);
  });

  it('follows the place that is chosen', () => {
    expect([usualPlants('split', 'small', standing), usualPlants('dispatch', 'small', standing)]).toEqual([50, 100]);
    expect(sourcesOf('discard', { ...standing, unplaced: 7 })).toEqual([unplaced, 'big', 'small']);
    expect(sourcesOf('move', { ...standing, unplaced: 7 })).toEqual(['big', 'small']);
  });

  it('sends a split with its child, and a merge with every place of every lot', () => {
    const split = { ...newMovement('split', lot, standing), code: ' 27-01 B ' };
    expect(movementBodyOf(split, 'l', 'now')).toEqual({
      lot_id: 'l',
      kind: 'split',
      moved_at: 'now',
      plants: 200,
      parts: [{ lot_id: split.bornId, plants: 200, from_block_id: 'big', code: '27-01 B' }],
    });
    const alone = newMovement('merge', lot, standing);
    expect(missingInMovement(alone)).toEqual(['/parts']);
    const merge = { ...toggleMerged(alone, { lotId: 'k', standing: { blocks: [], unplaced: 9 } }), to: 'big' };
    const body = movementBodyOf(merge, 'l', 'now');
    expect([body.lot_id, body.plants]).toEqual([merge.bornId, 510]);
    expect(body.parts?.map(({ lot_id, plants, from_block_id, to_block_id }) => [lot_id, plants, from_block_id, to_block_id])).toEqual([
      ['l', 100, 'small', 'big'],
      ['l', 401, 'big', 'big'],
      ['k', 9, undefined, 'big'],
    ]);
    expect(toggleMerged(merge, { lotId: 'k', standing }).plants).toBe(501);
  });

  it('is offered only where it makes sense', () => {
    const held: Hold['kind'] = 'internal';
    expect(actionsFor(life(), standing, true, true)).toEqual(['pot', 'pinch', 'space', 'move', 'split', 'merge', 'count', 'discard', 'dispatch', 'hold']);
    expect(actionsFor(life({ state: 'expected' }), { blocks: [], unplaced: 540 }, true, false)).toContain('receive');
    const gone = life({ state: 'gone', holds: [{ id: 'h', by: 'hold', kind: held, from_at: '2026-09-12T08:00:00Z' }] });
    expect(actionsFor(gone, { blocks: [], unplaced: 0 }, true, true)).toEqual(['lift']);
  });
});

describe('a conflict', () => {
  it('says its numbers and what to do, in both languages', () => {
    const conflict = { code: 'more_than_there', detail: '500 plants are to go but only 87 stood there on 2026-09-14' };
    expect(plain(conflictText(conflict, es))).toBe('Se piden 500 plantas, pero el 14 sept solo había 87.');
    expect(conflictAdvice(conflict.code, en)).toMatch(/^Correct the number/);
    expect(conflictAdvice('born_twice', en)).toMatch(/^Withdraw one/);
  });
});

describe('where a lot stood', () => {
  const at = (block_id: string, from: string, to: string | null, plants: number): Placement => ({ lot_id: 'a', block_id, from, to, plants });

  it('is one stay for as long as some of it stood there, whatever was counted or taken in between', () => {
    const stays = staysOf([
      at('2-03', '2026-08-14T16:42:00Z', null, 300),
      at('2-03', '2026-06-30T08:00:00Z', '2026-08-14T16:42:00.000Z', 310),
      at('2-04', '2026-07-01T08:00:00Z', '2026-07-05T08:00:00Z', 50),
      at('2-04', '2026-07-09T08:00:00Z', null, 20),
    ]);
    expect(stays).toEqual([
      { blockId: '2-03', since: '2026-06-30T08:00:00Z', until: null, plants: 300 },
      { blockId: '2-04', since: '2026-07-01T08:00:00Z', until: '2026-07-05T08:00:00Z', plants: 50 },
      { blockId: '2-04', since: '2026-07-09T08:00:00Z', until: null, plants: 20 },
    ]);
  });
});
