/** A sheet of labels, all lengths in millimetres. */
export interface Layout {
  id: LayoutId;
  paper: 'A4' | 'Letter';
  pageWidth: number;
  pageHeight: number;
  columns: number;
  rows: number;
  width: number;
  height: number;
  /** Between two columns; rows touch. */
  gap: number;
}

/** The layouts by paper, columns and rows. */
export const layoutIds = ['a4-3x7', 'a4-2x5', 'letter-3x10'] as const;

export type LayoutId = (typeof layoutIds)[number];

const inch = 25.4;

export const layouts: Readonly<Record<LayoutId, Layout>> = {
  'a4-3x7': { id: 'a4-3x7', paper: 'A4', pageWidth: 210, pageHeight: 297, columns: 3, rows: 7, width: 63.5, height: 38.1, gap: 2.5 },
  'a4-2x5': { id: 'a4-2x5', paper: 'A4', pageWidth: 210, pageHeight: 297, columns: 2, rows: 5, width: 99.1, height: 57, gap: 2.5 },
  'letter-3x10': {
    id: 'letter-3x10',
    paper: 'Letter',
    pageWidth: 8.5 * inch,
    pageHeight: 11 * inch,
    columns: 3,
    rows: 10,
    width: 2.625 * inch,
    height: 1 * inch,
    gap: 0.125 * inch,
  },
};

/** The most labels of one kind that are printed at once. */
export const mostCopies = 50;

/** The most sheets made at once: more would keep a phone busy for minutes. */
export const mostSheets = 40;

/** Labels on a whole sheet. */
export function perSheet({ columns, rows }: Layout): number {
  return columns * rows;
}

/** Left and upper edge of the label at a place, counted from 0 along the rows: the labels stand in the middle of the sheet. */
export function placeAt(layout: Layout, place: number): { x: number; y: number } {
  const { pageWidth, pageHeight, columns, rows, width, height, gap } = layout;
  const left = (pageWidth - columns * width - (columns - 1) * gap) / 2;
  const top = (pageHeight - rows * height) / 2;
  return { x: left + (place % columns) * (width + gap), y: top + Math.floor(place / columns) * height };
}

/** How many sheets so many labels take when the first goes to `start`, counted from 1. */
export function sheetCount(layout: Layout, labels: number, start: number): number {
  return labels === 0 ? 0 : Math.ceil((start - 1 + labels) / perSheet(layout));
}

/** One label on a sheet: what stands on it, and its place counted from 0. */
export interface Placed<T> {
  item: T;
  place: number;
}

/** The labels sheet by sheet, the copies of one beside each other. Places before `start` of the first sheet stay free. */
export function sheetsOf<T>(layout: Layout, items: readonly T[], copies: number, start: number): Placed<T>[][] {
  const labels = items.flatMap((item) => Array.from({ length: copies }, () => item));
  const size = perSheet(layout);
  const sheets: Placed<T>[][] = Array.from({ length: sheetCount(layout, labels.length, start) }, () => []);
  for (const [i, item] of labels.entries()) {
    const at = start - 1 + i;
    sheets[Math.floor(at / size)]?.push({ item, place: at % size });
  }
  return sheets;
}

/** Between the edge of a label and what stands on it: printers feed a sheet a little askew. */
export const edge = 1.5;

/** The side of the square with the code, its quiet zone included. */
export function codeSide({ width, height }: Layout): number {
  return Math.min(height - 2 * edge, 0.44 * width, 36);
}
