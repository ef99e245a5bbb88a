import { readdirSync, readFileSync } from 'node:fs';

import { afterEach, describe, expect, it } from 'vitest';

import { reasonText } from '../../src/dock/shared/reason';
import { plain } from '../../src/dock/shared/marked';
import { speak, words } from '../../src/words';
import { upperPercent } from '../../src/words/dock-percent';
import { formatIn } from '../../src/words/format';

const domain = new URL('../../../domain/', import.meta.url);

/** Every reason code the server can send, read from where it makes them. */
function codesOfTheServer(): string[] {
  const arrival = readdirSync(new URL('arrival/', domain))
    .filter((name) => name.endsWith('.go') && !name.endsWith('_test.go'))
    .map((name) => readFileSync(new URL(`arrival/${name}`, domain), 'utf8'))
    .join('\n');
  const stats = readFileSync(new URL('stats/detect.go', domain), 'utf8') + readFileSync(new URL('stats/fault.go', domain), 'utf8');
  const found = [
    ...arrival.matchAll(/(?:Code: |Code = |code := |^\t\t\{|^const \w+ = )"([a-z_]+)"/gm),
    ...arrival.matchAll(/code {2,}string\s*\n[^}]*\}\{"([a-z_]+)"/g),
    ...stats.matchAll(/(?:Reason = |CodeNoInfestedUnit +Reason = |CodeNoInfestedUnit += )"([a-z_]+)"/g),
  ];
  return [...new Set(found.map((match) => match[1] ?? ''))];
}

const said = (text: string): string => plain(text).replaceAll('\u00a0', ' ');

afterEach(() => speak('en'));

describe('reasons', () => {
  const codes = codesOfTheServer();

  it('are found where the server makes them', () => {
    expect(codes).toEqual(
      expect.arrayContaining(['none_found', 'regulated_suspected', 'other_disease', 'condition_poor', 'finds_level', 'past_finds', 'no_infested_unit', 'sensitivity_too_low']),
    );
  });

  it('each have a sentence in both languages', () => {
    for (const language of ['en', 'es'] as const) {
      speak(language);
      for (const code of codes) {
        expect(Object.keys(words.value.dock.reasons), `${language} ${code}`).toContain(code);
        expect(reasonText({ code, numbers: {} }, 'whitefly'), `${language} ${code}`).toMatch(/\.$/);
      }
    }
  });

  it('tell how many to look at and why, as ISPM 31 (table 1: lot of 1,000, 5 %, 95 %) has it', () => {
    const numbers = { plants: 57, lot_size: 1000, infested_units: 50, detection_percent: 5, confidence_percent: 95, sensitivity_percent: 100 };
    expect(said(reasonText({ code: 'finds_level', numbers }, ''))).toBe(
      'Look at 57 of 1,000 plants: if 5 % are infested, you find at least one with 95 % confidence.',
    );
    speak('es');
    expect(said(reasonText({ code: 'finds_level', numbers: { ...numbers, sensitivity_percent: 80 } }, ''))).toBe(
      'Revise 57 de 1000 plantas: si 5 % están infestadas y usted reconoce 80 % de ellas, halla al menos una con 95 % de confianza.',
    );
  });

  it('never promise more than the sample does', () => {
    const f = formatIn('en');
    expect(said(upperPercent(f, 5))).toBe('5 %');
    expect(said(upperPercent(f, (100 * 101) / 700))).toBe('14.5 %');
    expect(said(upperPercent(f, 0.03))).toBe('0.1 %');
  });

  it('show the code of one that is new to these pages', () => {
    expect(reasonText({ code: 'comet_seen' }, '')).toBe('comet_seen');
  });
});
