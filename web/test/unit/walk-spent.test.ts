import { describe, expect, it } from 'vitest';

import { newDraft, step, type Draft } from '../../src/walk/draft';
import { bodyOf, draftOf } from '../../src/walk/draft-body';
import { secondsOf, spentText, withTime } from '../../src/walk/spent';
import { speak } from '../../src/words';

const at = '2026-09-14T07:05:00+02:00';

function fresh(): Draft {
  return step(newDraft({ id: 'look', site_id: 'site', block_id: 'block', person_id: 'scout' }), { do: 'choose_lot', lot_id: 'lot', organism_id: 'whitefly' });
}

/** A look with taps at these seconds, the first of them the one that opened the block. */
function tapped(draft: Draft, ...moments: number[]): Draft {
  return moments.slice(1).reduce((one, now, i) => withTime(step(one, { do: 'mark', organism_id: null, at }), (moments[i] ?? 0) * 1000, now * 1000), draft);
}

describe('the time spent on a look', () => {
  it('is the time between its taps', () => {
    expect(secondsOf(tapped(fresh(), 0, 20, 45, 75))).toBe(75);
  });

  it('leaves out a gap of more than 90 seconds, and counts one of 90', () => {
    expect(secondsOf(tapped(fresh(), 0, 20, 110, 130))).toBe(130);
    expect(secondsOf(tapped(fresh(), 0, 20, 111, 131))).toBe(40);
  });

  it('is none where the clock of the phone was set back', () => {
    expect(secondsOf(tapped(fresh(), 100, 120, 30, 50))).toBe(40);
  });

  it('is sent with the look, and left out where it was not measured', () => {
    expect(bodyOf(tapped(fresh(), 0, 20, 45)).seconds).toBe(45);
    expect(bodyOf(tapped(fresh(), 0, 200))).not.toHaveProperty('seconds');
    expect(bodyOf({ ...tapped(fresh(), 0, 20), way: 'tally' })).not.toHaveProperty('seconds');
  });

  it('stays as it was when the look is corrected later', () => {
    const body = bodyOf(tapped(fresh(), 0, 20, 45));
    const look = {
      ...body,
      id: 'look',
      version: 1,
      recorded_at: at,
      recorded_by: { id: 'scout', name: 'Scout' },
      site_id: 'site',
      house_id: 'house',
      looked_on: '2026-09-14',
      week: '2026-W38',
      results: [],
      doubts: [],
    };
    expect(bodyOf(tapped(draftOf(look, 'other'), 0, 20, 40)).seconds).toBe(45);
  });

  it('is said as about so many minutes, without the pauses', () => {
    expect(spentText(0)).toBeUndefined();
    expect(spentText(null)).toBeUndefined();
    expect(spentText(20)).toBe('less than half a minute, pauses left out');
    expect(spentText(389)).toBe('about 6 min, pauses left out');
    speak('es');
    expect(spentText(389)).toBe('unos 6 min, sin contar las pausas');
    speak('en');
  });
});
