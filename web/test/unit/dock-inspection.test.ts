import { describe, expect, it } from 'vitest';

import type { FindingReading, Inspection } from '../../src/contract.gen';
import {
  draftOfInspection,
  inspectionBodyOf,
  missingInInspection,
  newFinding,
  newInspectionDraft,
  plantsWithStage,
  signPointer,
  tapped,
  untapped,
  withStage,
  type InspectionDraft,
} from '../../src/dock/inspection/draft';
import { findingSentence, firstFinding, meaningOf, suspectedOf } from '../../src/dock/inspection/reading';
import { verdictBodyOf } from '../../src/dock/inspection/verdict';
import { plain } from '../../src/dock/shared/marked';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';

const at = '2026-09-14T07:05:00+02:00';

function draftWith(change: Partial<InspectionDraft>): InspectionDraft {
  return { ...newInspectionDraft('lot', 'dock', 'whitefly', 10), ...change };
}

describe('counting', () => {
  it('adds a plant with each tap, and takes the last one back', () => {
    let finding = tapped(tapped(newFinding('whitefly'), false, 10), true);
    expect(finding).toMatchObject({ lookedAt: 11, infested: 1 });
    finding = untapped(finding);
    expect(finding).toMatchObject({ lookedAt: 10, infested: 0 });
    finding = untapped(untapped(finding));
    expect(finding).toMatchObject({ lookedAt: null, infested: 0 });
  });

  it('keeps one row for each living stage', () => {
    const finding = withStage(withStage(newFinding('whitefly'), 'egg', 1), 'egg', 2);
    expect(finding.signs).toHaveLength(1);
    expect(plantsWithStage(finding, 'egg')).toBe(2);
    expect(plantsWithStage(finding, 'pupa')).toBeNull();
  });
});

describe('what is sent of an inspection', () => {
  it('is what was counted, with the moment of saving and no empty parts', () => {
    const finding = { ...withStage(newFinding('whitefly'), 'egg', 2), lookedAt: 57, infested: 2 };
    expect(inspectionBodyOf(draftWith({ findings: [finding] }), at, false)).toEqual({
      lot_id: 'lot',
      kind: 'dock',
      inspected_at: at,
      lens_power: 10,
      detection_percent: 5,
      confidence_percent: 95,
      sensitivity_percent: 100,
      findings: [{ organism_id: 'whitefly', plants_looked_at: 57, infested_plants: 2, signs: [{ stage: 'egg', state: 'alive', plants: 2 }] }],
    });
  });

  it('takes the plants of the first finding for those that name none', () => {
    const draft = draftWith({
      findings: [{ ...newFinding('whitefly'), lookedAt: 57 }, newFinding('thrips'), { ...newFinding('mite'), lookedAt: 20 }],
      leafSpots: { lookedAt: null, with: 3 },
      diseases: [
        { key: 'a', name: ' grey mould ', lookedAt: 10, with: 1 },
        { key: 'b', name: '', lookedAt: 5, with: 5 },
      ],
    });
    const body = inspectionBodyOf(draft, at, false);
    expect(body.findings.map((finding) => finding.plants_looked_at)).toEqual([57, 57, 20]);
    expect(body.leaf_spots).toEqual({ plants_looked_at: 57, plants_with: 3 });
    expect(body.other_diseases).toEqual([{ name: 'grey mould', plants_looked_at: 10, plants_with: 1 }]);
  });

  it('says nothing of a lens when none was used, nor of roots of cuttings without any', () => {
    const draft = draftWith({ lens: 'none', roots: { white: 10, partly_brown: null, brown: 1, none: null } });
    expect(inspectionBodyOf(draft, at, false)).not.toHaveProperty('lens_power');
    expect(inspectionBodyOf(draft, at, false)).not.toHaveProperty('roots');
    expect(inspectionBodyOf(draft, at, true).roots).toEqual({ white: 10, brown: 1 });
  });

  it('survives being stored and opened again', () => {
    const finding = { ...withStage(newFinding('whitefly'), 'large_nymph', 1), lookedAt: 57, infested: 1 };
    const body = inspectionBodyOf(draftWith({ findings: [finding], note: 'box 2', condition: { sound: 57, slightly_damaged: 0, badly_damaged: null, unusable: null } }), at, false);
    expect(inspectionBodyOf(draftOfInspection(stored(body)), 'never', false)).toEqual(body);
  });

  it('points at fields as the server counts them', () => {
    const finding = withStage(withStage(newFinding('whitefly'), 'egg', 0), 'pupa', 2);
    const [egg, pupa] = finding.signs;
    expect(egg && signPointer(finding, 1, egg)).toBeUndefined();
    expect(pupa && signPointer(finding, 1, pupa)).toBe('/findings/1/signs/0/plants');
  });

  it('is held back while nothing was looked at', () => {
    expect(missingInInspection(draftWith({}))).toEqual(['/findings/0/plants_looked_at']);
    expect(missingInInspection(draftWith({ findings: [{ ...newFinding('whitefly'), lookedAt: 1 }, newFinding('mite')] }))).toEqual([]);
  });
});

describe('what is sent of a verdict', () => {
  const draft = { id: 'v', decision: 'hold' as const, covers: 'all' as const, plants: 20, because: ' wait ' };
  it('names plants only for a part', () => {
    expect(verdictBodyOf(draft, 'i')).toEqual({ inspection_id: 'i', decision: 'hold', because: 'wait' });
    expect(verdictBodyOf({ ...draft, covers: 'part' }, 'i')).toEqual({ inspection_id: 'i', decision: 'hold', plants: 20, because: 'wait' });
  });
});

function stored(body: ReturnType<typeof inspectionBodyOf>, findings: FindingReading[] = [], reasons: Inspection['reading']['reasons'] = []): Inspection {
  return {
    ...body,
    id: 'i',
    version: 1,
    recorded_at: at,
    recorded_by: { id: 'p', name: 'Dana' },
    site_id: 's',
    reading: { confidence_percent: 95, method: 'wilson', suggestion: 'accept', reasons, findings },
  };
}

const none: FindingReading = {
  organism_id: 'whitefly',
  plants_looked_at: 57,
  infested_plants: 0,
  infested_percent: 0,
  lower_percent: 0,
  upper_percent: 6.3,
  rules_out_percent: 5,
};
// 4 of 18: the Wilson interval is 9.0–45.2 % (Newcombe 1998, method 3).
const some: FindingReading = {
  organism_id: 'thrips',
  plants_looked_at: 18,
  infested_plants: 4,
  infested_percent: 22.222,
  lower_percent: 9.0,
  upper_percent: 45.2,
  rules_out_percent: null,
};

const speech = { words: en, f: formatIn('en'), nameOf: (id: string) => id };
const said = (text: string): string => plain(text).replaceAll('\u00a0', ' ');

describe('what a reading says', () => {
  it('never calls a sample without a find anything but what it rules out', () => {
    expect(said(findingSentence(none, 95, speech))).toBe('0 of 57 plants had whitefly: with 95 % confidence fewer than 5 % are infested.');
    expect(said(findingSentence({ ...none, plants_looked_at: 2, rules_out_percent: null }, 95, speech))).toBe(
      '0 of 2 plants had whitefly. So few plants rule out nothing at 95 % confidence.',
    );
    expect(said(findingSentence(none, 95, { ...speech, words: es, f: formatIn('es') }))).toBe(
      '0 de 57 plantas con whitefly: con 95 % de confianza están infestadas menos del 5 %.',
    );
  });

  it('gives a share with its counts and interval', () => {
    expect(said(findingSentence(some, 95, speech))).toBe('4 of 18 plants had thrips, 22 % (9–45).');
  });

  it('says what is ruled out and what is not', () => {
    const body = inspectionBodyOf(draftWith({ lens: 'none', asked: { detection: 5, confidence: 95, sensitivity: 80 } }), at, false);
    const { out, open } = meaningOf(stored(body, [none]), 1000, speech);
    expect(out.map(said)).toEqual(['Whitefly on 5 % of the lot or more (50 plants), with 95 % confidence.']);
    expect(open.map(said)).toEqual([
      'Whitefly on fewer than 5 % of the plants (up to 49 of the lot).',
      'Plants that are infested but not recognised: the sum assumes 80 % are recognised.',
      'Eggs: no lens was used.',
      'Anything that was not looked for.',
      'What cannot be seen yet: first instars show about two to three weeks later, at the second look.',
    ]);
  });

  it('begins with the main pest and names what is regulated', () => {
    const inspection = stored(inspectionBodyOf(draftWith({}), at, false), [some, none], [
      { code: 'found', organism_id: 'thrips' },
      { code: 'regulated_suspected', organism_id: 'thrips' },
    ]);
    expect(firstFinding(inspection, 'whitefly')).toBe(none);
    expect(firstFinding(inspection, 'mite')).toBe(some);
    expect(suspectedOf(inspection)).toEqual(['thrips']);
  });
});
