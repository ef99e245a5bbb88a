import { describe, expect, it } from 'vitest';

import { blockAddress, labelAddress } from '../../src/labels/address';
import type { Block, Cultivar, Daybook, House, Lot, Placement } from '../../src/contract.gen';
import { placeOf, placeOfName, type From, type Outcome } from '../../src/scan/find';
import { meaningOf } from '../../src/scan/meaning';

const origin = 'https://bench.example';
const id = (n: number): string => `01990f2e-7a3c-7d10-8f00-${String(n).padStart(12, '0')}`;
const recorded = { version: 1, recorded_at: '2026-09-14T05:00:00Z', recorded_by: { id: 'p', name: 'P' } };
const house = (key: string, name: string): House => ({ id: key, ...recorded, site_id: 's', name });
const block = (n: number, house_id: string, name: string): Block => ({ id: id(n), ...recorded, site_id: 's', house_id, name, position: n });
const lot = (n: number, code: string, cultivar_id = 'c'): Lot => ({
  id: id(n), ...recorded, shipment_id: 'sh', cultivar_id, plants: 500, code, site_id: 's', season_id: 'se', crop_id: 'crop', arrived_on: '2026-07-06', plants_on_hand: 500,
});
const stands = (lotNumber: number, blockNumber: number, to: string | null = null): Placement => ({ lot_id: id(lotNumber), block_id: id(blockNumber), from: '2026-08-01T06:00:00Z', to, plants: 100 });
const cultivar = (key: string, name: string, gtin?: string): Cultivar => ({ id: key, ...recorded, crop_id: 'crop', name, foliage: 'dark', ...(gtin && { gtin }) });

const gtin = '4006381333931';
const book: Daybook = {
  now: '2026-09-14T06:00:00Z', version: 'v', on: '2026-09-14', week: '2026-W38',
  site: { id: 's', ...recorded, name: 'S', time_zone: 'Europe/Madrid' },
  houses: [house('h1', 'House 1'), house('h2', 'House 2')],
  blocks: [block(1, 'h1', 'B 01'), block(2, 'h1', 'B 02'), block(3, 'h2', 'B 01')],
  lots: [lot(11, '31-07'), lot(12, '31-08'), lot(13, '29-01'), lot(14, '31-09', 'numbered')],
  placements: [stands(11, 1), stands(12, 2), stands(12, 3), stands(13, 1, '2026-09-01T06:00:00Z'), stands(14, 3)],
  cultivars: [cultivar('c', 'Frostveil'), cultivar('numbered', 'Emberfall', gtin)],
  sections: [], crops: [], organisms: [], thresholds: [], looks: [], holds: [], customers: [], shipments: [], inspections: [], verdicts: [], suppliers: [], farms: [], seasons: [],
};

const where = (from: From, held: Daybook | null = book) => ({ book: held, from, origin, arrived: (date: string) => `arrived ${date}` });
const scanned = (from: From, ...texts: string[]): Outcome | null => placeOf(texts, where(from));
const lotLabel = (n: number): string => labelAddress(origin, { id: id(n), code: 'x' });
const addresses = (outcome: Outcome | null): string[] => (outcome?.kind === 'choose' ? outcome.places.map(({ address }) => address) : []);

describe('what a scanned text means', () => {
  it('is a lot or a block by its id, whatever address the label was printed at', () => {
    expect(meaningOf(`${origin}/l/${id(1)}`, origin)).toEqual({ kind: 'lot', id: id(1), here: true });
    expect(meaningOf(`HTTPS://BENCH.EXAMPLE/b/${id(1).toUpperCase()}/`, origin)).toEqual({ kind: 'block', id: id(1), here: true });
    expect(meaningOf(`http://192.168.1.20:8080/b/${id(1)}`, origin)).toEqual({ kind: 'block', id: id(1), here: false });
  });

  it('is a trade item number with the lot’s code, of other programs’ labels too', () => {
    expect(meaningOf(labelAddress(origin, { id: id(1), code: '31/07' }, gtin), origin)).toEqual({ kind: 'item', gtin: `0${gtin}`, code: '31/07', here: true });
    expect(meaningOf(`https://id.example/01/0${gtin}/10/A-1?17=261231`, origin)).toEqual({ kind: 'item', gtin: `0${gtin}`, code: 'A-1', here: false });
  });

  it('is misread where the check digit does not fit', () => {
    expect(meaningOf(`${origin}/01/04006381333932/10/A-1`, origin)).toEqual({ kind: 'misread' });
  });

  it('is nothing of ours for anything else', () => {
    for (const text of ['', '31-07', id(1), `/l/${id(1)}`, `${origin}/l/17`, `${origin}/walk`, `${origin}/l/${id(1)}/more`, `javascript:/l/${id(1)}`, 'https://', 'WIFI:S:nursery;;', `${origin}/l/%E0%A4%A`]) {
      expect(meaningOf(text, origin), text).toEqual({ kind: 'foreign', text });
    }
  });
});

describe('where a label leads', () => {
  it('is for a block its marking page', () => {
    const place = { name: 'B 01', within: 'House 2', address: `/walk/blocks/${id(3)}` };
    expect(scanned('walk', blockAddress(origin, id(3)))).toEqual({ kind: 'found', place });
    expect(scanned('dock', blockAddress(origin, id(3)))).toEqual({ kind: 'found', place });
  });

  it('is for a lot, on Walk the block it stands in and on the Dock its own page', () => {
    expect(scanned('walk', lotLabel(11))).toEqual({ kind: 'found', place: { name: '31-07 Frostveil', within: 'House 1 · B 01', address: `/walk/blocks/${id(1)}?lot=${id(11)}` } });
    expect(scanned('dock', lotLabel(11))).toEqual({ kind: 'found', place: { name: '31-07 Frostveil', within: 'arrived 2026-07-06', address: `/dock/lots/${id(11)}` } });
    expect(scanned('walk', labelAddress(origin, { id: id(14), code: '31-09' }, gtin))).toMatchObject({ kind: 'found', place: { address: `/walk/blocks/${id(3)}?lot=${id(14)}` } });
  });

  it('is asked on Walk where the lot stands in several blocks, and its own page where it stands in none', () => {
    expect(scanned('walk', lotLabel(12))).toMatchObject({ kind: 'choose', among: 'blocks' });
    expect(addresses(scanned('walk', lotLabel(12)))).toEqual([`/walk/blocks/${id(2)}?lot=${id(12)}`, `/walk/blocks/${id(3)}?lot=${id(12)}`]);
    expect(scanned('dock', lotLabel(12))?.kind).toBe('found');
    expect(scanned('walk', lotLabel(13))).toMatchObject({ kind: 'nowhere', place: { address: `/dock/lots/${id(13)}` } });
  });

  it('is asked where several labels are in view', () => {
    expect(scanned('dock', lotLabel(11), lotLabel(12))).toMatchObject({ kind: 'choose', among: 'codes' });
    expect(addresses(scanned('walk', lotLabel(11), lotLabel(12)))).toHaveLength(3);
  });

  it('is not asked where two labels mean the same, or one of them is none of ours', () => {
    expect(scanned('walk', lotLabel(11), blockAddress(origin, id(1)))).toMatchObject({ kind: 'found', place: { address: `/walk/blocks/${id(1)}?lot=${id(11)}` } });
    expect(scanned('dock', lotLabel(11), lotLabel(11))?.kind).toBe('found');
    expect(scanned('dock', 'WIFI:S:nursery;;', lotLabel(11), lotLabel(99))?.kind).toBe('found');
  });

  it('is not known where this phone holds no such thing, and nothing of ours where also the address is another', () => {
    expect(scanned('walk', lotLabel(99))).toEqual({ kind: 'unknown', meaning: { kind: 'lot', id: id(99), here: true }, checked: false });
    expect(placeOf([lotLabel(11)], where('walk', null))?.kind).toBe('unknown');
    const elsewhere = `https://elsewhere.example/l/${id(99)}`;
    expect(scanned('walk', elsewhere)).toEqual({ kind: 'foreign', text: elsewhere });
    expect(scanned('walk', `https://elsewhere.example/l/${id(11)}`)?.kind).toBe('found');
    expect(scanned('walk', elsewhere, lotLabel(99))?.kind).toBe('unknown');
    expect(scanned('walk')).toBeNull();
  });
});

describe('what one types', () => {
  const typed = (text: string, from: From = 'walk'): Outcome | null => placeOfName(text, where(from));

  it('is the code of a lot or the name of a block, however it is spaced and written', () => {
    expect(typed(' 31-07 ')).toMatchObject({ kind: 'found', place: { address: `/walk/blocks/${id(1)}?lot=${id(11)}` } });
    expect(typed('b02')).toMatchObject({ kind: 'found', place: { address: `/walk/blocks/${id(2)}` } });
    expect(typed('house 2 b 01')).toMatchObject({ kind: 'found', place: { address: `/walk/blocks/${id(3)}` } });
    expect(typed(lotLabel(11), 'dock')).toMatchObject({ kind: 'found', place: { address: `/dock/lots/${id(11)}` } });
  });

  it('is asked for where several are called that', () => {
    expect(typed('B 01')).toMatchObject({ kind: 'choose', among: 'names' });
    expect(addresses(typed('B 01'))).toEqual([`/walk/blocks/${id(1)}`, `/walk/blocks/${id(3)}`]);
    expect(typed('31-08')).toMatchObject({ kind: 'choose', among: 'blocks' });
  });

  it('is said not to be here where it is not', () => {
    expect(typed('31-70')).toEqual({ kind: 'no_such_name', text: '31-70' });
    expect(typed('  ')).toBeNull();
  });
});
