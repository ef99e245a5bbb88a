import type { RefObject } from 'preact';
import { useLayoutEffect, useRef } from 'preact/hooks';

interface Steps<T extends HTMLElement> {
  ref: RefObject<T>;
  onKeyDown: (event: KeyboardEvent) => void;
  onFocusIn: (event: FocusEvent) => void;
}

/** Rows and columns of which some places hold nothing. */
interface Places {
  rows: number;
  columns: number;
  has: (row: number, column: number) => boolean;
}

/** Where a key leads from a place to another that holds something; up and down keep as near to the column as there is one. Undefined when nowhere. */
export function stepFrom(key: string, row: number, column: number, { rows, columns, has }: Places): [number, number] | undefined {
  const held = (at: number): number[] => Array.from({ length: columns }, (_, i) => i).filter((i) => has(at, i));
  const here = held(row);
  const inRow = (to: number | undefined): [number, number] | undefined => (to === undefined || to === column ? undefined : [row, to]);
  const nearest = (by: 1 | -1): [number, number] | undefined => {
    for (let at = row + by; at >= 0 && at < rows; at += by) {
      const [to] = held(at).toSorted((a, b) => Math.abs(a - column) - Math.abs(b - column));
      if (to !== undefined) return [at, to];
    }
    return undefined;
  };
  switch (key) {
    case 'ArrowRight':
      return inRow(here.find((i) => i > column));
    case 'ArrowLeft':
      return inRow(here.findLast((i) => i < column));
    case 'Home':
      return inRow(here[0]);
    case 'End':
      return inRow(here.at(-1));
    case 'ArrowDown':
      return nearest(1);
    case 'ArrowUp':
      return nearest(-1);
    default:
      return undefined;
  }
}

type Rows = (HTMLAnchorElement | null)[][];

/** The links of a table, cell by cell. */
export function cellsOf(table: HTMLElement): Rows {
  return [...table.querySelectorAll('tr')].map((row) => [...row.cells].map((cell) => cell.querySelector('a')));
}

/** The links of a list that is laid out in rows, as they stand on the screen. */
export function tilesOf(place: HTMLElement): Rows {
  const rows = new Map<number, HTMLAnchorElement[]>();
  for (const link of place.querySelectorAll('li a')) {
    if (!(link instanceof HTMLAnchorElement)) continue;
    const top = Math.round(link.closest('li')?.getBoundingClientRect().top ?? 0);
    rows.set(top, [...(rows.get(top) ?? []), link]);
  }
  return [...rows].toSorted(([a], [b]) => a - b).map(([, links]) => links);
}

/**
 * Makes the links of a map into one stop of the Tab key: arrows, Home and End go from one to the next that is
 * there. `shape` changes with what is laid out.
 */
export function useSteps<T extends HTMLElement>(shape: string, rowsOf: (place: HTMLElement) => Rows): Steps<T> {
  const ref = useRef<T>(null);
  useLayoutEffect(() => {
    const all = [...(ref.current?.querySelectorAll('a') ?? [])];
    for (const link of all) link.tabIndex = -1;
    const first = all.find((link) => link.ariaCurrent === 'true') ?? all[0];
    if (first) first.tabIndex = 0;
  }, [shape]);
  return {
    ref,
    onFocusIn: ({ target }) => {
      if (!(target instanceof HTMLAnchorElement)) return;
      for (const link of ref.current?.querySelectorAll<HTMLAnchorElement>('a[tabindex="0"]') ?? []) link.tabIndex = -1;
      target.tabIndex = 0;
    },
    onKeyDown: (event) => {
      if (!ref.current || !(event.target instanceof HTMLAnchorElement) || event.altKey || event.ctrlKey || event.metaKey) return;
      const { target } = event;
      const rows = rowsOf(ref.current);
      const row = rows.findIndex((links) => links.includes(target));
      const to = stepFrom(event.key, row, rows[row]?.indexOf(target) ?? 0, {
        rows: rows.length,
        columns: Math.max(...rows.map((links) => links.length)),
        has: (at, column) => (rows[at]?.[column] ?? null) !== null,
      });
      if (!to) return;
      event.preventDefault();
      rows[to[0]]?.[to[1]]?.focus();
    },
  };
}
