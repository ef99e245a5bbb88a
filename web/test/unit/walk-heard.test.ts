import { describe, expect, it } from 'vitest';

import type { Organism } from '../../src/contract.gen';
import { newDraft, step, type Action, type Draft } from '../../src/walk/draft';
import { heardText } from '../../src/walk/heard';
import { speak } from '../../src/words';

const at = '2026-09-14T07:05:00+02:00';
const whitefly = 'whitefly';
const thrips = 'thrips';

const organism = (id: string): Organism => ({
  id,
  version: 1,
  recorded_at: at,
  recorded_by: { id: 'scout', name: 'Scout' },
  scientific_name: id,
  common_name: id,
  common_name_es: `${id} en español`,
  kind: 'insect',
  infested_stages: ['large_nymph', 'adult'],
});
const names = { organism: (id: string | undefined) => (id === undefined ? undefined : organism(id)) };

const seen = (organism_id: string | null): Action => ({ do: 'mark', organism_id, at });

function taking(...actions: Action[]): Draft {
  const fresh = newDraft({ id: 'look', site_id: 'site', block_id: 'block', person_id: 'scout' });
  return actions.reduce(step, step(fresh, { do: 'choose_lot', lot_id: 'lot', organism_id: whitefly }));
}

/** What is heard after the last of some steps. */
function heard(...actions: Action[]): string | null {
  const before = taking(...actions.slice(0, -1));
  const now = actions.slice(-1).reduce(step, before);
  return heardText(before, now, names)?.replaceAll('\u00a0', ' ') ?? null;
}

describe('what is read aloud while one marks', () => {
  it('is the plant, what was seen on it, and the count', () => {
    expect(heard(seen(null))).toBe('Plant 1: none seen. 0 of 1.');
    expect(heard(seen(null), seen(whitefly))).toBe('Plant 2: seen. 1 of 2.');
  });

  it('says which plant was taken out, the last or one between', () => {
    expect(heard(seen(null), seen(whitefly), { do: 'undo' })).toBe('Plant 2 taken out. 0 of 1.');
    expect(heard(seen(null), { do: 'undo' })).toBe('Plant 1 taken out. No plants yet.');
    expect(heard(seen(whitefly), seen(null), seen(null), { do: 'drop', plant: 0 })).toBe('Plant 1 taken out. 0 of 2.');
  });

  it('says when a sign makes a plant count as not infested, and nothing for a sign that changes nothing', () => {
    const empty: Action = { do: 'toggle_sign', plant: 0, organism_id: whitefly, stage: 'empty_case', place: 'old_growth' };
    const nymph: Action = { do: 'toggle_sign', plant: 0, organism_id: whitefly, stage: 'large_nymph', place: 'old_growth' };
    expect(heard(seen(whitefly), empty)).toBe('Plant 1: seen, counts as not infested. 0 of 1.');
    expect(heard(seen(whitefly), nymph)).toBeNull();
  });

  it('names the organism where several are looked for', () => {
    expect(heard({ do: 'seek', organism_id: thrips, on: true }, seen(thrips))).toBe('Plant 1: seen, thrips. whitefly 0 of 1, thrips 1 of 1.');
  });

  it('says nothing of what is not a plant', () => {
    expect(heard(seen(null), { do: 'note', note: 'dry' })).toBeNull();
  });

  it('speaks Spanish', () => {
    speak('es');
    expect(heard(seen(null), seen(whitefly))).toBe('Planta 2: visto. 1 de 2.');
    speak('en');
  });
});
