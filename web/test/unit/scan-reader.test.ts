import { afterEach, describe, expect, it, vi } from 'vitest';

import { troubleBefore, troubleOf } from '../../src/scan/camera';
import { openReader, type Read } from '../../src/scan/reader';

afterEach(() => vi.unstubAllGlobals());

const canvas = { width: 1, height: 1 } as HTMLCanvasElement;

/** A browser's own reader that can read these kinds and finds what `detect` says. */
function browserReads(formats: readonly string[], detect: () => Promise<{ rawValue: string }[]>): { asked: string[][] } {
  const asked: string[][] = [];
  class Detector {
    static getSupportedFormats = (): Promise<readonly string[]> => Promise.resolve(formats);
    constructor({ formats: wanted }: { formats: string[] }) {
      asked.push(wanted);
    }
    detect = detect;
  }
  vi.stubGlobal('BarcodeDetector', Detector);
  return { asked };
}

/** Our own reader, and how often it was readied. */
function own(): { open: () => Promise<Read>; times: () => number } {
  let times = 0;
  return {
    open: () => {
      times++;
      return Promise.resolve(() => Promise.resolve(['by ours']));
    },
    times: () => times,
  };
}

describe('the reader of codes', () => {
  it('is the browser’s own where it reads QR codes, and ours is never fetched', async () => {
    const { asked } = browserReads(['ean_13', 'qr_code'], () => Promise.resolve([{ rawValue: 'one' }, { rawValue: 'two' }]));
    const ours = own();
    const read = await openReader(ours.open);
    expect(await read(canvas, false)).toEqual(['one', 'two']);
    expect(asked).toEqual([['qr_code']]);
    expect(ours.times()).toBe(0);
  });

  it('is ours where the browser has none, or one for other codes, or one that does not answer', async () => {
    const ours = own();
    expect(await (await openReader(ours.open))(canvas, false)).toEqual(['by ours']);
    browserReads(['ean_13'], () => Promise.resolve([]));
    expect(await (await openReader(ours.open))(canvas, false)).toEqual(['by ours']);
    vi.stubGlobal('BarcodeDetector', { getSupportedFormats: () => Promise.reject(new Error('no service')) });
    expect(await (await openReader(ours.open))(canvas, false)).toEqual(['by ours']);
    expect(ours.times()).toBe(3);
  });

  it('changes to ours once where the browser’s own turns out not to work', async () => {
    browserReads(['qr_code'], () => Promise.reject(new Error('Barcode detection service unavailable')));
    const ours = own();
    const read = await openReader(ours.open);
    expect(await read(canvas, false)).toEqual(['by ours']);
    expect(await read(canvas, true)).toEqual(['by ours']);
    expect(ours.times()).toBe(1);
  });
});

describe('a camera that does not open', () => {
  it('was refused, is not there, or does not start', () => {
    const named = (name: string) => troubleOf(new DOMException('', name));
    expect(['NotAllowedError', 'SecurityError'].map(named)).toEqual(['refused', 'refused']);
    expect(['NotFoundError', 'OverconstrainedError'].map(named)).toEqual(['none', 'none']);
    expect(['NotReadableError', 'AbortError'].map(named)).toEqual(['busy', 'busy']);
    expect(troubleOf('what')).toBe('busy');
  });

  it('is kept back by the browser over plain http, where nobody is asked', () => {
    vi.stubGlobal('isSecureContext', false);
    vi.stubGlobal('navigator', { mediaDevices: {} });
    expect(troubleBefore()).toBe('insecure');
    vi.stubGlobal('isSecureContext', true);
    expect(troubleBefore()).toBeNull();
    vi.stubGlobal('navigator', {});
    expect(troubleBefore()).toBe('none');
  });
});
