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

/**
 * Makes the links of a table into one stop of the Tab key: arrows, Home and End go from one to the next that is
 * there. `shape` changes with the rows and columns.
 */
export function useSteps<T extends HTMLElement>(shape: string): Steps<T> {
  const ref = useRef<T>(null);
  const links = (): HTMLAnchorElement[] => [...(ref.current?.querySelectorAll('a') ?? [])];
  const stop = (at: HTMLAnchorElement): void => {
    for (const link of ref.current?.querySelectorAll<HTMLAnchorElement>('a[tabindex="0"]') ?? []) link.tabIndex = -1;
    at.tabIndex = 0;
  };
  useLayoutEffect(() => {
    const all = links();
    for (const link of all) link.tabIndex = -1;
    const first = all.find((link) => link.ariaCurrent === 'true') ?? all[0];
    if (first) first.tabIndex = 0;
  }, [shape]);
  return {
    ref,
    onFocusIn: ({ target }) => {
      if (target instanceof HTMLAnchorElement) stop(target);
    },
    onKeyDown: (event) => {
      const cell = event.target instanceof Element ? event.target.closest('td, th') : null;
      if (!(cell instanceof HTMLTableCellElement) || !(cell.parentElement instanceof HTMLTableRowElement) || event.altKey || event.ctrlKey || event.metaKey) return;
      const rows = [...(ref.current?.querySelectorAll('tr') ?? [])];
      const linkAt = (row: number, column: number) => rows[row]?.cells[column]?.querySelector('a') ?? null;
      const to = stepFrom(event.key, rows.indexOf(cell.parentElement), cell.cellIndex, {
        rows: rows.length,
        columns: cell.parentElement.cells.length,
        has: (row, column) => linkAt(row, column) !== null,
      });
      if (!to) return;
      event.preventDefault();
      linkAt(...to)?.focus();
    },
  };
}
