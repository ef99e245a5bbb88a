import { describe, expect, it } from 'vitest';

import { blockAddress, labelAddress, opensOnlyHere } from '../../src/labels/address';
import { checkDigit, gtin14, gtinOf } from '../../src/labels/gtin';
import { scannedPlace } from '../../src/labels/scanned';
import { matchPath } from '../../src/router';

describe('a check digit', () => {
  it('is as GS1 works it out', () => {
    // GS1 Sweden, "Så beräknas kontrollsiffran": 5 × 3 + 8 = 23, and 7 fills it up to 30.
    expect(checkDigit('730001100001')).toBe(7);
    // From memory, as handbooks show it: 4006381333931.
    expect(checkDigit('400638133393')).toBe(1);
  });

  it('is zero where the sum is a multiple of ten already', () => {
    expect(checkDigit('1234567')).toBe(0);
  });
});

describe('a GTIN', () => {
  it('of any length is written with fourteen digits', () => {
    expect(gtin14('4006381333931')).toBe('04006381333931');
    expect(gtin14('12345670')).toBe('00000012345670');
    expect(gtin14('036000241457')).toBe('00036000241457');
    expect(gtin14('09521234543213')).toBe('09521234543213');
    expect(gtin14(' 4 006381-333931')).toBe('04006381333931');
  });

  it('with a wrong digit, two neighbours changed over or another length is none', () => {
    const right = '4006381333931';
    for (let i = 0; i < right.length; i++) {
      const wrong = right.slice(0, i) + String((Number(right[i]) + 1) % 10) + right.slice(i + 1);
      expect(gtin14(wrong), wrong).toBeNull();
    }
    for (const wrong of ['4006383133931', '', '400638133393', '40063813339310', 'abcdefgh', '４００６３８１３']) expect(gtin14(wrong), wrong).toBeNull();
  });

  it('is taken from a cultivar once cultivars have one', () => {
    expect(gtinOf({})).toBeNull();
    expect(gtinOf({ gtin: null })).toBeNull();
    expect(gtinOf({ gtin: '4006381333931' })).toBe('04006381333931');
    expect(gtinOf({ gtin: '4006381333932' })).toBeNull();
  });
});

const id = '01990f2e-7a3c-7d10-8f00-000000000001';

describe('the address on a label', () => {
  it('leads to the lot or the block at this installation', () => {
    expect(labelAddress('https://bench.example', { id, code: '31-07' })).toBe(`https://bench.example/l/${id}`);
    expect(blockAddress('https://bench.example', id)).toBe(`https://bench.example/b/${id}`);
  });

  it('is a GS1 Digital Link where the cultivar has a GTIN', () => {
    // The form of the example for GTIN and batch at github.com/bwipp/postscriptbarcode/wiki/GS1-Digital-Link-URIs.
    expect(labelAddress('https://id.gs1.org', { id, code: 'ABC123' }, '09521234543213')).toBe('https://id.gs1.org/01/09521234543213/10/ABC123');
    expect(labelAddress('https://bench.example', { id, code: '31-07' }, '4006381333931')).toBe('https://bench.example/01/04006381333931/10/31-07');
  });

  it('carries any code that GS1 allows so that it is read back the same', () => {
    for (const code of ['31/07', '50%', 'a?b', '!"&\'()*+,', ':;<=>_-']) {
      const address = new URL(labelAddress('https://bench.example', { id, code }, '4006381333931'));
      expect(address.pathname).toMatch(/^\/01\/04006381333931\/10\/[\w%~-]+$/);
      expect(matchPath('/01/:gtin/10/:code', address.pathname)).toEqual({ gtin: '04006381333931', code });
    }
  });

  it('falls back on the id where the GTIN is wrong or the code does not fit the standard', () => {
    const byId = `https://bench.example/l/${id}`;
    expect(labelAddress('https://bench.example', { id, code: '31-07' }, '4006381333932')).toBe(byId);
    expect(labelAddress('https://bench.example', { id, code: '31-07' }, null)).toBe(byId);
    for (const code of ['', 'x'.repeat(21), '31 07', 'ñ', '31.07']) {
      expect(labelAddress('https://bench.example', { id, code }, '4006381333931')).toBe(byId);
    }
  });

  it('is of no use to a phone when only this machine knows it', () => {
    for (const here of ['http://127.0.0.1:8080', 'http://localhost:5173', 'http://[::1]:8080', 'http://demo.localhost']) expect(opensOnlyHere(here)).toBe(true);
    for (const there of ['https://bench.example', 'http://192.168.1.20:8080', 'https://localhost.example']) expect(opensOnlyHere(there)).toBe(false);
  });
});

describe('a scanned address', () => {
  it('opens the lot at the dock, or the block on the walk', () => {
    expect(scannedPlace(`/l/${id}`)).toBe(`/dock/lots/${id}`);
    expect(scannedPlace(`/b/${id}`)).toBe(`/walk/blocks/${id}`);
  });

  it('is left to the other pages where it is none of a label', () => {
    for (const other of ['/', '/l', '/labels', '/b/1/2', '/dock/lots/1']) expect(scannedPlace(other)).toBeNull();
  });
});
