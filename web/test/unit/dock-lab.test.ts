import { describe, expect, it } from 'vitest';

import type { LabSample, Placement } from '../../src/contract.gen';
import { blocksAt, labBodyAgain, labBodyOf, labDraftOf, labSentence, labSummary, newLabDraft } from '../../src/dock/lot/lab-sample';
import { formatIn } from '../../src/words/format';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';

const sample = (more: Partial<LabSample> = {}): LabSample => ({
  id: 'i',
  version: 2,
  recorded_at: '',
  recorded_by: { id: 'p', name: 'P' },
  site_id: 'site',
  lot_id: 'lot',
  taken_at: '2026-09-03T23:30:00Z',
  ...more,
});

const speech = (words: typeof en, language: 'en' | 'es' = 'en') => ({ words, f: formatIn(language), zone: 'Europe/Madrid', blockOf: (id: string) => `House 1, ${id}` });
const said = (of: LabSample): string => labSentence(of, 'lot', speech(en)).replaceAll('\u00a0', ' ');

describe('what is said of a sample', () => {
  it('begins with the day at the site and ends with what is known', () => {
    expect(said(sample())).toBe('Taken 4 Sep 2026: **waiting** for the result.');
    expect(said(sample({ plants: 12, block_id: 'B 01', looked_for: 'Ralstonia', result: 'waiting' }))).toBe(
      'Taken 4 Sep 2026 from 12 plants in House 1, B 01: **waiting** for the result on Ralstonia.',
    );
    expect(said(sample({ looked_for: 'Ralstonia', result: 'found', result_on: '2026-09-09' }))).toBe(
      'Taken 4 Sep 2026: **found**: Ralstonia (result of 9 Sep 2026).',
    );
  });

  it('never lets a sample speak for the lot', () => {
    expect(said(sample({ plants: 1, looked_for: 'Ralstonia', result: 'not_found' }))).toBe(
      'Taken 4 Sep 2026 from 1 plant: **not found** in this sample: Ralstonia.',
    );
  });

  it('names a sample of the lot this one came from as such', () => {
    expect(said(sample({ lot_id: 'parent', plants: 5 }))).toContain('from 5 plants of the lot it came from');
  });

  it('reads as a sentence in Spanish', () => {
    const text = labSentence(sample({ plants: 12, block_id: 'B 01', looked_for: 'Ralstonia', result: 'found' }), 'lot', speech(es, 'es'));
    expect(text.replaceAll('\u00a0', ' ')).toBe('Tomada el 4 sept 2026 de 12 plantas en House 1, B 01: **encontrado**: Ralstonia.');
  });
});

describe('the samples of a lot', () => {
  const summary = (samples: LabSample[]): string => labSummary(samples, speech(en)).replaceAll('\u00a0', ' ');

  it('are counted by what came of them, what was found first', () => {
    expect(summary([sample(), sample({ result: 'not_found' }), sample({ result: 'found' }), sample({ result: 'waiting' })])).toBe(
      '**4 samples** sent to a laboratory: **found** in 1, **waiting** for 2, and **not found** in 1.',
    );
  });

  it('leave out the withdrawn, and say when there is none', () => {
    expect(summary([sample({ withdrawn_because: 'twice' })])).toBe(en.dock.lab.none);
    expect(summary([sample({ withdrawn_because: 'twice' }), sample()])).toBe('**1 sample** sent to a laboratory: **waiting** for 1.');
  });
});

const stands = (block_id: string, from: string, to?: string): Placement => ({ lot_id: 'lot', block_id, from, plants: 100, ...(to !== undefined && { to }) });

describe('the block of a sample', () => {
  const placements = [stands('old', '2026-08-01T08:00:00Z', '2026-09-01T08:00:00Z'), stands('new', '2026-09-01T08:00:00Z')];
  const at = (moment: string | null, chosen: string | null = null): string[] => blocksAt(placements, moment, chosen).map(({ blockId }) => blockId);

  it('is one of those the lot stood in when it was taken', () => {
    expect(at('2026-08-20T10:00:00+02:00')).toEqual(['old']);
    expect(at('2026-09-01T10:00:00+02:00')).toEqual(['new']);
    expect(at('2026-07-01T10:00:00+02:00')).toEqual([]);
    expect(at(null)).toEqual(['new']);
  });

  it('stays chosen when the moment is corrected', () => {
    expect(at('2026-08-20T10:00:00+02:00', 'new')).toEqual(['old', 'new']);
  });

  it('is chosen already where there is only one', () => {
    expect(newLabDraft('lot', '2026-09-10T10:00:00Z', placements).block).toBe('new');
    expect(newLabDraft('lot', '2026-09-10T10:00:00Z', [...placements, stands('other', '2026-09-02T08:00:00Z')]).block).toBeNull();
  });
});

describe('a sample that is sent', () => {
  it('leaves out what was left empty', () => {
    const draft = { ...newLabDraft('lot', '2026-09-10T10:00:00Z', []), laboratory: '  ' };
    expect(labBodyOf(draft)).toEqual({ lot_id: 'lot', taken_at: '2026-09-10T10:00:00Z', result: 'waiting' });
  });

  it('has no day and no report of a result while it waits', () => {
    const found = labDraftOf(sample({ result: 'found', result_on: '2026-09-09', report_number: 'R 7' }));
    expect(labBodyOf(found)).toMatchObject({ result: 'found', result_on: '2026-09-09', report_number: 'R 7' });
    expect(labBodyOf({ ...found, result: 'waiting' })).toEqual({ lot_id: 'lot', taken_at: '2026-09-03T23:30:00Z', result: 'waiting' });
  });

  it('is sent again with all it had, withdrawn or put back, under the lot it was taken from', () => {
    const whole: Partial<LabSample> = { lot_id: 'parent', block_id: 'b', plants: 3, sample_number: 's', laboratory: 'l', looked_for: 'x', result: 'found', result_on: '2026-09-09', report_number: 'r', note: 'n' };
    const stored = sample(whole);
    expect(labBodyAgain(stored)).toEqual({ ...whole, taken_at: stored.taken_at });
    expect(labBodyAgain(stored, 'twice').withdrawn_because).toBe('twice');
    expect(labBodyAgain({ ...stored, withdrawn_because: 'twice' }).withdrawn_because).toBe('twice');
    expect(labBodyAgain({ ...stored, withdrawn_because: 'twice' }, null)).not.toHaveProperty('withdrawn_because');
  });
});
