import { signal, type Signal } from '@preact/signals';

import { session } from '../../session';

/**
 * What is being typed, kept for as long as the pages are open: it outlives the
 * sign-in dialog and a look at another page. Each person has their own.
 */
export class Drafts<T> {
  readonly #kept = new Map<string, Signal<T>>();

  #own(key: string): string {
    return `${session.peek()?.person.id ?? ''} ${key}`;
  }

  /** The draft under the key, made when there is none. */
  of(key: string, make: () => T): Signal<T> {
    const own = this.#own(key);
    let draft = this.#kept.get(own);
    if (!draft) {
      draft = signal(make());
      this.#kept.set(own, draft);
    }
    return draft;
  }

  has(key: string): boolean {
    return this.#kept.has(this.#own(key));
  }

  /** Forgets the draft: it was saved or is not wanted. */
  drop(key: string): void {
    this.#kept.delete(this.#own(key));
  }
}

let lastKey = 0;

/** A key for a row that can be added and removed. */
export function rowKey(): string {
  return `row${++lastKey}`;
}

/** The list with one row replaced. */
export function withRow<T>(rows: readonly T[], at: number, change: Partial<T>): T[] {
  return rows.map((row, i) => (i === at ? { ...row, ...change } : row));
}

/** The list without one row. */
export function withoutRow<T>(rows: readonly T[], at: number): T[] {
  return rows.filter((_row, i) => i !== at);
}

/** The place of a row among those that are sent, for the server's pointers; null for one that is not. */
export function sentIndex<T>(rows: readonly T[], at: number, isBlank: (row: T) => boolean): number | null {
  const row = rows[at];
  if (row === undefined || isBlank(row)) return null;
  return rows.slice(0, at).filter((before) => !isBlank(before)).length;
}
