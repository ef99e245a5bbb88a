import { describe, expect, it } from 'vitest';

import type { Block, Daybook } from '../../src/contract.gen';
import { madeMoment } from '../../src/local/clock';
import type { Waiting } from '../../src/local/db';
import { localLook } from '../../src/walk/local-look';

const day = 86_400_000;

/** A look made at five past seven on a phone that is a day ahead. */
const waiting: Waiting = {
  noun: 'looks',
  id: 'look',
  if_match: null,
  body: { block_id: 'block', looked_at: '2026-09-14T07:05:00+02:00', purpose: 'planned', targets: [] },
  seq: 1,
  person_id: 'scout',
  person_name: 'Scout',
  site_id: 'site',
  title: '',
  made_at: '2026-09-15T07:05:00.000+02:00',
  made: { at: '2026-09-15T07:05:00.000+02:00', person_id: 'scout', clock_ahead_ms: day },
  problem: null,
};

describe('a record that waits on a phone with a wrong clock', () => {
  it('was made when the server’s clock says', () => {
    expect(madeMoment(waiting)).toBe('2026-09-14T05:05:00.000Z');
    const ofAnEarlierVersion = { made_at: waiting.made_at };
    expect(madeMoment(ofAnEarlierVersion)).toBe('2026-09-15T05:05:00.000Z');
  });

  it('is shown on that day', () => {
    const author = { version: 1, recorded_at: '', recorded_by: { id: 'scout', name: 'Scout' } };
    const block: Block = { ...author, id: 'block', house_id: 'house', site_id: 'site', name: '1-01', position: 1 };
    const book: Daybook = {
      now: '2026-09-14T05:00:00Z',
      version: 'v',
      on: '2026-09-14',
      week: '2026-W38',
      site: { ...author, id: 'site', name: 'Site', time_zone: 'Europe/Madrid' },
      ...{ houses: [], sections: [], blocks: [block], lots: [], placements: [], cultivars: [], crops: [], thresholds: [], looks: [], holds: [] },
      ...{ customers: [], shipments: [], inspections: [], verdicts: [], suppliers: [], farms: [], seasons: [], organisms: [] },
    };
    expect(localLook(waiting, book, { id: 'scout', name: 'Scout' })).toMatchObject({ looked_on: '2026-09-14', recorded_at: '2026-09-14T05:05:00.000Z' });
  });
});
