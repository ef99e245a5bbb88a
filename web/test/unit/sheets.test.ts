import { describe, expect, it } from 'vitest';

import { drawn } from '../../src/sheets/drawings';
import { blocksOf, cells, emptyRows, linesOf, walkedRows, type Row } from '../../src/sheets/rows';
import { addressOf, readState, type SheetState } from '../../src/sheets/state';
import { sheets as en } from '../../src/words/en/sheets';
import { sheets as es } from '../../src/words/es/sheets';

const row = (block: string, lot: string, asked: number | null = null): Row => ({ key: `${block} ${lot}`, section: '', block, lot, cultivar: '', standing: lot === '' ? null : 100, asked, positions: [] });

describe('a tally sheet', () => {
  it('has a box for every plant of the plan, in lines that go on', () => {
    const positions = Array.from({ length: 45 }, (_, i) => 3 * i + 1);
    const lines = linesOf({ ...row('1-01', 'A', 45), positions });
    expect(lines.map(({ length }) => length)).toEqual([cells, cells, cells]);
    expect(lines.flat().filter((plant) => plant !== null)).toEqual(positions);
  });

  it('has one line of boxes where nothing is planned', () => {
    expect(linesOf(row('1-01', 'A'))).toEqual([Array.from({ length: cells }, () => null)]);
  });

  it('is of the planned lots, or of all that stand there where none is planned', () => {
    const planned = row('1-02', 'B', 20);
    expect(walkedRows([row('1-01', 'A'), planned, row('1-03', '')])).toEqual([planned]);
    expect(walkedRows([row('1-01', 'A'), row('1-03', '')])).toEqual([row('1-01', 'A')]);
  });
});

describe('a map', () => {
  it('has a block once, with all its lots, and blocks with nothing in them', () => {
    expect(blocksOf([row('1-01', 'A'), row('1-01', 'B'), row('1-02', '')]).map(({ block, lots }) => [block, lots.map(({ lot }) => lot)])).toEqual([
      ['1-01', ['A', 'B']],
      ['1-02', ['']],
    ]);
  });

  it('keeps the boxes of a blank sheet apart', () => {
    expect(blocksOf(emptyRows())).toHaveLength(emptyRows().length);
  });
});

describe('the address of a sheet', () => {
  it('says all of it, and reads back as the same', () => {
    const state: SheetState = { kind: 'map', house: 'h', site: 's', paper: 'letter', across: 3 };
    expect(readState(new URL(addressOf(state), 'http://x').searchParams)).toEqual(state);
    expect(addressOf(readState(new URLSearchParams()))).toBe('/sheets');
  });

  it('leaves out what does not fit', () => {
    expect(readState(new URLSearchParams('kind=x&paper=a9&across=70&site=s'))).toEqual({ kind: 'plants', house: null, site: null, paper: 'a4', across: 4 });
  });
});

it('names every sign that is drawn, and has a letter of its own for each stage, in both languages', () => {
  for (const said of [en, es]) {
    for (const sign of drawn) expect(said.signs[sign].text).not.toBe('');
    expect(new Set(Object.values(said.letters)).size).toBe(Object.keys(said.letters).length);
  }
});
