import { describe, expect, it } from 'vitest';

import type { Block, Cultivar, House, Lot, Recorded, Season, Shipment } from '../../src/contract.gen';
import { latestFirst, lotsByCode } from '../../src/labels/by-code';
import { saidOf } from '../../src/labels/said';
import { addressOf, blockSubjects, lotSubjects } from '../../src/labels/subjects';
import { numbersOf, withinFault, type Wanted } from '../../src/labels/wanted';
import { language, words } from '../../src/words';

const recorded = (id: string): Recorded => ({ id, version: 1, recorded_at: '', recorded_by: { id: 'p', name: 'P' } });

const lot = (id: string, more: Partial<Lot> = {}): Lot => ({
  ...recorded(id),
  shipment_id: 's',
  cultivar_id: 'c',
  plants: 100,
  code: id,
  site_id: 'site',
  season_id: 'season',
  crop_id: 'crop',
  arrived_on: '2026-07-30',
  plants_on_hand: 100,
  ...more,
});

const cultivar = (id: string, gtin?: string): Cultivar => ({ ...recorded(id), crop_id: 'crop', name: `Cultivar ${id}`, foliage: 'dark', ...(gtin !== undefined && { gtin }) });

const shipment = (docked: string | null): Shipment => ({
  ...recorded('s'),
  site_id: 'site',
  supplier_id: 'sup',
  expected_on: '2026-07-30',
  arrived_on: '2026-07-30',
  docked_at: docked,
  lots: 1,
  lots_inspected: 0,
});

const docked = shipment('2026-07-30T06:00:00Z');
const gtin = '4006381333931';
const gtin14 = '04006381333931';

describe('the label of a lot', () => {
  it('says code, cultivar, day of arrival and the supplier’s code, in the language shown', () => {
    const [subject] = lotSubjects([lot('31-07', { supplier_lot_code: 'KE-4' })], [cultivar('c')], docked);
    if (!subject) throw new Error('no subject');
    language.value = 'en';
    expect(saidOf(subject)).toEqual({ code: '31-07', lines: ['Cultivar c', 'Arrived 30\u00a0Jul 2026', 'Supplier lot KE-4'] });
    language.value = 'es';
    expect(saidOf(subject).lines).toEqual(['Cultivar c', 'Llegó el 30\u00a0jul 2026', 'Lote del proveedor KE-4']);
    language.value = 'en';
  });

  it('does not say that a lot arrived that is still expected', () => {
    const [subject] = lotSubjects([lot('31-07')], [cultivar('c')], shipment(null));
    expect(subject && saidOf(subject).lines).toEqual(['Cultivar c', 'Expected 30\u00a0Jul 2026']);
  });

  it('leads by the number of its cultivar once it has one', () => {
    const [plain] = lotSubjects([lot('31-07')], [cultivar('c')], docked);
    const [numbered] = lotSubjects([lot('31-07')], [cultivar('c', gtin)], docked);
    expect(plain && addressOf(plain, 'https://bench.example')).toBe('https://bench.example/l/31-07');
    expect(numbered && addressOf(numbered, 'https://bench.example')).toBe(`https://bench.example/01/${gtin14}/10/31-07`);
  });
});

describe('the labels', () => {
  it('of lots come in the order of their codes, without the withdrawn', () => {
    const lots = [lot('31-10'), lot('31-9'), lot('31-1', { withdrawn_because: 'twice' }), lot('30-2')];
    expect(lotSubjects(lots, [], docked).map(({ code }) => code)).toEqual(['30-2', '31-9', '31-10']);
  });

  it('of blocks come house by house in walking order', () => {
    const house = (id: string, name: string): House => ({ ...recorded(id), site_id: 'site', name });
    const block = (id: string, houseId: string, position: number): Block => ({ ...recorded(id), site_id: 'site', house_id: houseId, name: id, position });
    const subjects = blockSubjects([block('x', 'h10', 1), block('b', 'h2', 2), block('a', 'h2', 1)], [house('h10', 'House 10'), house('h2', 'House 2')]);
    expect(subjects.map(({ house: of, name }) => `${of} ${name}`)).toEqual(['House 2 a', 'House 2 b', 'House 10 x']);
    expect(subjects[0] && saidOf(subjects[0])).toEqual({ code: 'a', lines: ['House 2'] });
  });
});

describe('a lot looked up by its code', () => {
  const lots = [lot('1', { code: '31-07', cultivar_id: 'with' }), lot('2', { code: '31-07', cultivar_id: 'without' }), lot('3', { code: '31-08', cultivar_id: 'with' })];

  it('is the one of the cultivar with that number', () => {
    const cultivars = [cultivar('with', gtin), cultivar('without')];
    expect(lotsByCode(lots, cultivars, gtin14, '31-07').map(({ id }) => id)).toEqual(['1']);
  });

  it('is any with that code whose cultivar has no number, and never one with another number', () => {
    const cultivars = [cultivar('with', '12345670'), cultivar('without')];
    expect(lotsByCode(lots, cultivars, gtin14, '31-07').map(({ id }) => id)).toEqual(['2']);
    expect(lotsByCode(lots, [cultivar('with'), cultivar('without')], gtin14, '31-07').map(({ id }) => id)).toEqual(['1', '2']);
    expect(lotsByCode(lots, cultivars, gtin14, '31-09')).toEqual([]);
  });

  it('is looked for in the latest season first', () => {
    const season = (id: string, startsOn: string): Season => ({ ...recorded(id), crop_id: 'crop', year: 2026, starts_on: startsOn, ends_on: startsOn });
    expect(latestFirst([season('old', '2025-06-01'), season('new', '2026-06-01')]).map(({ id }) => id)).toEqual(['new', 'old']);
  });
});

describe('the numbers of a print', () => {
  const wanted: Wanted = { without: new Set(), copies: 1, layout: 'a4-2x5', start: 1 };

  it('are used only when both can be', () => {
    expect(numbersOf(wanted)).toEqual({ copies: 1, start: 1 });
    expect(numbersOf({ ...wanted, copies: 50, start: 10 })).toEqual({ copies: 50, start: 10 });
    for (const wrong of [{ copies: 51 }, { copies: 0 }, { copies: null }, { start: 11 }, { start: 0 }, { start: null }]) {
      expect(numbersOf({ ...wanted, ...wrong })).toBeNull();
    }
  });

  it('say at the field what is wrong with them', () => {
    const { fields } = words.value.problems;
    expect([null, 0, 51, 50].map((n) => withinFault(n, 50))).toEqual([fields.missing, fields.too_small, fields.too_large, undefined]);
  });
});
