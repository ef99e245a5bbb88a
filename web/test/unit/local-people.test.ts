import { beforeEach, expect, test } from 'vitest';

import type { Picture, Waiting } from '../../src/local/db';
import { outbox } from '../../src/local/outbox';
import { waitsForPeople } from '../../src/local/people';
import { pictures } from '../../src/local/pictures';
import { common as en } from '../../src/words/en/common';
import { common as es } from '../../src/words/es/common';

const plain = (text: string): string => text.replace(/\s/g, ' ');
const refusal = { type: 'about:blank', title: 'no', status: 422, code: 'x', request_id: 'r' };

const record = (person: string, seq: number, refused = false): Waiting => ({
  noun: 'looks',
  id: `r${seq}`,
  body: {},
  seq,
  person_id: person,
  person_name: person.toUpperCase(),
  site_id: null,
  title: '',
  made_at: '2026-09-14T07:00:00Z',
  problem: refused ? refusal : null,
});

const photo = (person: string): Picture => ({
  id: `photo of ${person}`,
  person_id: person,
  person_name: person.toUpperCase(),
  title: '',
  body: { subject_noun: 'lots', subject_id: 'l', taken_at: '2026-09-14T07:00:00Z' },
  jpeg: new Blob(),
  problem: null,
});

beforeEach(() => {
  outbox.value = [record('ana', 1), record('ben', 2), record('ana', 3), record('ana', 4, true)];
  pictures.value = [photo('ana')];
});

test('what waits on a phone is counted for each person, refused ones apart', () => {
  expect(waitsForPeople()).toEqual([
    { name: 'ANA', records: 2, photos: 1, refused: 1 },
    { name: 'BEN', records: 1, photos: 0, refused: 0 },
  ]);
});

test('what waits for whoever asks is not among what waits for others', () => {
  expect(waitsForPeople('ana').map(({ name }) => name)).toEqual(['BEN']);
});

test('it is said in whole sentences in both languages, for one and for many', () => {
  expect(plain(en.phone.waitsFor('Ana', 3, 0))).toBe('3 records of Ana wait here; they are sent when Ana signs in.');
  expect(plain(en.phone.waitsFor('Ana', 1, 0))).toBe('1 record of Ana waits here; it is sent when Ana signs in.');
  expect(plain(en.phone.waitsFor('Ana', 1, 2))).toBe('1 record and 2 photos of Ana wait here; they are sent when Ana signs in.');
  expect(plain(es.phone.waitsFor('Ana', 3, 1))).toBe('3 registros y 1 foto de Ana esperan aquí; se envían cuando Ana inicie sesión.');
  expect(plain(es.phone.refusedOf('Ana', 1))).toBe('1 registro de Ana no se aceptó y espera aquí a Ana.');
});
