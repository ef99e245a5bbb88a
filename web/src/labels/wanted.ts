import { words } from '../words';
import { layouts, layoutIds, mostCopies, perSheet, type LayoutId } from './layouts';

/** What a person wants printed. Numbers are as typed: null while a field is empty. */
export interface Wanted {
  /** What is not printed, by id: everything is until somebody takes it out. */
  without: ReadonlySet<string>;
  copies: number | null;
  layout: LayoutId;
  /** The first free place of the first sheet, counted from 1. */
  start: number | null;
}

const key = 'benchtrail.labels.layout';

/** The layout used last on this device: people stay with the sheets they bought. */
export function keptLayout(): LayoutId {
  try {
    const kept = localStorage.getItem(key);
    return layoutIds.find((id) => id === kept) ?? 'a4-3x7';
  } catch {
    return 'a4-3x7';
  }
}

export function keepLayout(id: LayoutId): void {
  try {
    localStorage.setItem(key, id);
  } catch {
    // chosen all the same
  }
}

function within(value: number | null, most: number): value is number {
  return value !== null && value >= 1 && value <= most;
}

/** What is wrong with a number from 1 to `most`, in words. */
export function withinFault(value: number | null, most: number): string | undefined {
  const { fields } = words.value.problems;
  if (value === null) return fields.missing;
  if (value < 1) return fields.too_small;
  return value > most ? fields.too_large : undefined;
}

/** The numbers to print with, or null while one of them cannot be used. */
export function numbersOf({ copies, start, layout }: Wanted): { copies: number; start: number } | null {
  return within(copies, mostCopies) && within(start, perSheet(layouts[layout])) ? { copies, start } : null;
}
