import { describe, expect, it } from 'vitest';

import type { Organism } from '../../src/contract.gen';
import { infested, living, stagesToNote, whyNotCounted, type SignRead } from '../../src/walk/infested';

const anyStage = ['egg', 'small_nymph', 'large_nymph', 'pupa', 'adult'];
const noEggs = anyStage.slice(1);

const sign = (stage: SignRead['stage'], state?: SignRead['state']): SignRead => ({ stage, ...(state && { state }) });

/**
 * The same cases as in domain/scouting/sign_test.go. Any nymph, pupa or adult makes a
 * plant count (ONfloriculture, 25 September 2018); eggs as the organism says, and shells
 * and parasitised stages alone do not (common practice).
 */
const cases: [string, boolean, SignRead[], string[], boolean][] = [
  ['nothing was seen', false, [], anyStage, false],
  ['it was seen and no sign was noted', true, [], anyStage, true],
  ['a disease is judged by sight alone', true, [], [], true],
  ['a living nymph', true, [sign('small_nymph', 'alive')], noEggs, true],
  ['a nymph whose state was not noted', true, [sign('large_nymph')], noEggs, true],
  ['an adult', true, [sign('adult', 'alive')], anyStage, true],
  ['an empty case alone', true, [sign('empty_case')], anyStage, false],
  ['an empty case alone, noted as alive', true, [sign('empty_case', 'alive')], anyStage, false],
  ['an empty case where every living stage counts', true, [sign('empty_case')], [], false],
  ['a parasitised pupa alone', true, [sign('pupa', 'parasitised')], anyStage, false],
  ['a host-fed nymph alone', true, [sign('large_nymph', 'host_fed')], anyStage, false],
  ['a dried nymph alone', true, [sign('small_nymph', 'dried')], anyStage, false],
  ['an egg where eggs count', true, [sign('egg', 'alive')], anyStage, true],
  ['an egg where eggs do not count', true, [sign('egg', 'alive')], noEggs, false],
  ['an egg where the organism names no stages', true, [sign('egg', 'alive')], [], true],
  ['a parasitised pupa beside a living one', true, [sign('pupa', 'parasitised'), sign('pupa', 'alive')], anyStage, true],
  ['an empty case beside an egg that does not count', true, [sign('empty_case'), sign('egg')], noEggs, false],
  ['a shell listed by mistake is a shell all the same', true, [sign('empty_case')], ['empty_case'], false],
];

describe('a plant is infested by a living stage that counts', () => {
  it.each(cases)('%s', (_, seen, signs, stages, want) => {
    expect(infested(seen, signs, stages)).toBe(want);
  });
});

describe('why a plant does not count', () => {
  it('names the one reason there is', () => {
    expect(whyNotCounted([sign('empty_case')], anyStage)).toBe('empty_case');
    expect(whyNotCounted([sign('pupa', 'parasitised'), sign('large_nymph', 'parasitised')], anyStage)).toBe('parasitised');
    expect(whyNotCounted([sign('small_nymph', 'dried'), sign('pupa', 'host_fed')], anyStage)).toBe('dead');
    expect(whyNotCounted([sign('egg')], noEggs)).toBe('stage');
  });

  it('says so when there are several', () => {
    expect(whyNotCounted([sign('empty_case'), sign('pupa', 'parasitised')], anyStage)).toBe('mixed');
  });

  it('is silent when the plant counts or nothing was noted', () => {
    expect(whyNotCounted([sign('pupa', 'parasitised'), sign('adult')], anyStage)).toBeNull();
    expect(whyNotCounted([], anyStage)).toBeNull();
  });
});

describe('a sign', () => {
  it('is alive unless it is a shell or its state says otherwise', () => {
    expect(living(sign('adult'))).toBe(true);
    expect(living(sign('empty_case', 'alive'))).toBe(false);
    expect(living(sign('pupa', 'dried'))).toBe(false);
  });
});

describe('the stages offered', () => {
  const organism = (kind: Organism['kind'], infested_stages: Organism['infested_stages']): Organism => ({
    id: 'o',
    version: 1,
    recorded_at: '2026-01-01T00:00:00Z',
    recorded_by: { id: 'p', name: 'P' },
    scientific_name: 'Xx yy',
    common_name: 'x',
    common_name_es: 'y',
    kind,
    infested_stages,
  });

  it('are all six for an insect that pupates, also when eggs do not count', () => {
    expect(stagesToNote(organism('insect', ['small_nymph', 'large_nymph', 'pupa', 'adult']))).toEqual([
      'egg',
      'small_nymph',
      'large_nymph',
      'pupa',
      'empty_case',
      'adult',
    ]);
  });

  it('leave out pupa and shell for one that does not', () => {
    expect(stagesToNote(organism('mite', ['egg', 'small_nymph', 'large_nymph', 'adult']))).toEqual(['egg', 'small_nymph', 'large_nymph', 'adult']);
  });

  it('are none for a disease', () => {
    expect(stagesToNote(organism('fungus', []))).toEqual([]);
    expect(stagesToNote(undefined)).toEqual([]);
  });
});
