import { signal, untracked, type Signal } from '@preact/signals';

import { begunOf, forgetBegun, holdBegun, keepBegun } from '../../local/begun';
import type { Kept } from '../../local/db';
import { uuid7 } from '../../local/uuid7';
import { session } from '../../session';

/** The kind of all forms of Dock among the things begun on a phone. */
export const begunKind = 'dock';

/** A form that is being filled in, as it is kept on the phone. */
export interface BegunForm {
  draft: unknown;
  /** Its page. */
  to: string;
  /** What a person calls that page. */
  title: string;
}

/** Why what is typed is not kept on this phone. */
export type Trouble = Exclude<Kept, 'kept'>;

/** What is being typed in one form. */
export interface Held<T> {
  /** Under which it is kept among the things begun. */
  id: string;
  draft: Signal<T>;
  /** It was begun before the pages were opened. */
  restored: Signal<boolean>;
  trouble: Signal<Trouble | null>;
}

/** One form's keeper: writes one at a time, and what was typed meanwhile with the next. */
class Keeper<T> implements Held<T> {
  readonly draft: Signal<T>;
  readonly restored: Signal<boolean>;
  readonly trouble = signal<Trouble | null>(null);
  #step: number | null;
  #writing = false;
  #again = false;
  #closed = false;

  constructor(
    readonly id: string,
    readonly personId: string,
    make: () => T,
  ) {
    const there = untracked(() => begunOf(id));
    const kept = (there?.value as BegunForm | undefined)?.draft; // put there by #keep
    this.restored = signal(typeof kept === 'object' && kept !== null);
    // Members that drafts have since then come from a new one.
    this.draft = signal(this.restored.peek() ? { ...make(), ...(kept as Partial<T>) } : make());
    this.#step = there?.step ?? null;
    let first = true;
    this.draft.subscribe(() => {
      if (!first) void this.#keep();
      first = false;
    });
  }

  close(): void {
    this.#closed = true;
  }

  async #keep(): Promise<void> {
    this.#again = true;
    if (this.#writing) return;
    this.#writing = true;
    while (this.#again && !this.#closed) {
      this.#again = false;
      const value: BegunForm = { draft: this.draft.peek(), to: location.pathname + location.search, title: document.querySelector('h1')?.textContent ?? '' };
      const next = { id: this.id, kind: begunKind, person_id: this.personId, value };
      // After a save that was refused it is no longer among the things begun, and is put there anew.
      const step = untracked(() => begunOf(this.id)) === undefined ? null : this.#step;
      const kept = await keepBegun(next, step);
      if (kept === 'kept') this.#step = untracked(() => begunOf(this.id))?.step ?? null;
      if (kept === 'unkept') holdBegun(next);
      this.trouble.value = kept === 'kept' ? null : kept;
    }
    this.#writing = false;
  }
}

/** All that is typed on these pages, of whichever kind, by the id it is kept under. */
const forgetters = new Set<(id: string) => void>();

/** Forgets what was typed, where only the id it is kept under is known. */
export function forgetDraft(id: string): void {
  for (const forget of forgetters) forget(id);
}

/**
 * What is being typed in the forms of one kind. It is kept on the phone, so that it outlives
 * the sign-in, a look at another page and a phone that is switched off; each person has their
 * own. It leaves the phone when it is saved, or when a person lets it go.
 */
export class Drafts<T extends object> {
  readonly #kept = new Map<string, Keeper<T>>();
  readonly #kind: string;

  constructor(kind: string) {
    this.#kind = kind;
    forgetters.add((id) => this.#forget(id));
  }

  /** Under which a draft is kept among the things begun: a save that takes its place takes it along. */
  idOf(key: string): string {
    return `${begunKind} ${this.#kind} ${session.peek()?.person.id ?? ''} ${key}`;
  }

  /** The draft under the key with how it is kept; made when there is none. */
  heldOf(key: string, make: () => T): Held<T> {
    const id = this.idOf(key);
    let keeper = this.#kept.get(id);
    if (!keeper) {
      keeper = new Keeper(id, session.peek()?.person.id ?? '', make);
      this.#kept.set(id, keeper);
    }
    return keeper;
  }

  /** The draft under the key, made when there is none. */
  of(key: string, make: () => T): Signal<T> {
    return this.heldOf(key, make).draft;
  }

  /** Whether something is being typed under the key. */
  has(key: string): boolean {
    const id = this.idOf(key);
    return this.#kept.has(id) || untracked(() => begunOf(id)) !== undefined;
  }

  #forget(id: string): void {
    this.#kept.get(id)?.close();
    this.#kept.delete(id);
  }

  /** Forgets the draft: it was saved or is not wanted. */
  drop(key: string): void {
    const id = this.idOf(key);
    this.#forget(id);
    if (untracked(() => begunOf(id)) !== undefined) void forgetBegun(id);
  }
}

/** A key for a row that can be added and removed; also after the draft came back from the phone. */
export function rowKey(): string {
  return uuid7();
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
