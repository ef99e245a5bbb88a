import { describe, expect, it } from 'vitest';

import { layoutIds, layouts, perSheet, placeAt, sheetCount, sheetsOf } from '../../src/labels/layouts';
import { letterSize } from '../../src/labels/letters';

const small = layouts['a4-3x7'];

describe('a layout', () => {
  it('keeps every label on its sheet and off its neighbours', () => {
    for (const id of layoutIds) {
      const layout = layouts[id];
      const places = Array.from({ length: perSheet(layout) }, (_, place) => placeAt(layout, place));
      for (const [i, a] of places.entries()) {
        expect(a.x).toBeGreaterThan(0);
        expect(a.y).toBeGreaterThan(0);
        expect(a.x + layout.width).toBeLessThan(layout.pageWidth);
        expect(a.y + layout.height).toBeLessThan(layout.pageHeight);
        for (const b of places.slice(i + 1)) {
          const apart = Math.abs(a.x - b.x) >= layout.width - 1e-9 || Math.abs(a.y - b.y) >= layout.height - 1e-9;
          expect(apart, `${id}: ${JSON.stringify([a, b])}`).toBe(true);
        }
      }
    }
  });

  it('leaves the same margin on both sides', () => {
    for (const id of layoutIds) {
      const layout = layouts[id];
      const first = placeAt(layout, 0);
      const last = placeAt(layout, perSheet(layout) - 1);
      expect(last.x + layout.width + first.x).toBeCloseTo(layout.pageWidth, 9);
      expect(last.y + layout.height + first.y).toBeCloseTo(layout.pageHeight, 9);
    }
  });

  it('counts places along the rows', () => {
    expect(perSheet(small)).toBe(21);
    expect(placeAt(small, 0)).toEqual({ x: expect.closeTo(7.25) as number, y: expect.closeTo(15.15) as number });
    expect(placeAt(small, 1).y).toBe(placeAt(small, 0).y);
    expect(placeAt(small, 3).x).toBe(placeAt(small, 0).x);
    expect(placeAt(layouts['letter-3x10'], 0)).toEqual({ x: expect.closeTo(4.7625) as number, y: expect.closeTo(12.7) as number });
  });
});

describe('the sheets', () => {
  it('are as many as the labels and the places used before need', () => {
    expect(sheetCount(small, 0, 1)).toBe(0);
    expect(sheetCount(small, 0, 21)).toBe(0);
    expect(sheetCount(small, 21, 1)).toBe(1);
    expect(sheetCount(small, 22, 1)).toBe(2);
    expect(sheetCount(small, 21, 2)).toBe(2);
    expect(sheetCount(small, 1, 21)).toBe(1);
    expect(sheetCount(small, 2, 21)).toBe(2);
  });

  it('begin at the free place and go on at the first place of the next sheet', () => {
    const sheets = sheetsOf(layouts['a4-2x5'], ['a', 'b'], 3, 8);
    expect(sheets.map((sheet) => sheet.map(({ item, place }) => `${item}${place}`))).toEqual([
      ['a7', 'a8', 'a9'],
      ['b0', 'b1', 'b2'],
    ]);
  });

  it('hold each label as often as asked, for any start and number', () => {
    for (const id of layoutIds) {
      for (const copies of [1, 2, 50]) {
        for (let start = 1; start <= perSheet(layouts[id]); start++) {
          const sheets = sheetsOf(layouts[id], ['a', 'b', 'c'], copies, start);
          expect(sheets).toHaveLength(sheetCount(layouts[id], 3 * copies, start));
          const all = sheets.flat();
          for (const item of ['a', 'b', 'c']) expect(all.filter((placed) => placed.item === item)).toHaveLength(copies);
          for (const sheet of sheets) expect(new Set(sheet.map(({ place }) => place)).size).toBe(sheet.length);
          expect(sheets[0]?.[0]?.place).toBe(start - 1);
          expect(sheets.every((sheet) => sheet.length > 0)).toBe(true);
        }
      }
    }
  });
});

describe('the letters of a label', () => {
  it('are as large as the text allows in one line, and never too small to read', () => {
    expect(letterSize('31-07', 40, 3, 9)).toBe(9);
    expect(letterSize('31-07', 30, 3, 9)).toBeCloseTo(30 / (4 * 0.72 + 0.5), 9);
    expect(letterSize('WW-07', 30, 3, 9)).toBeLessThan(letterSize('31-07', 30, 3, 9));
    expect(letterSize('x'.repeat(60), 30, 3, 9)).toBe(3);
    expect(letterSize('', 30, 3, 9)).toBe(9);
  });
});
