import { signal } from '@preact/signals';
import { deleteDB, openDB, type DBSchema, type IDBPDatabase, type IDBPTransaction, type StoreNames } from 'idb';

import type { OutboxRecord, PhotoBody, Problem } from '../contract.gen';

/**
 * The layout of what a phone keeps. Raise it with every change and add a step to
 * `upgrade`. A step may add, never rename or empty: records may be waiting there.
 */
export const layout = 1;

const name = 'benchtrail';

/** Something begun and not yet finished: a look in the making, a form being filled in. */
export interface Begun {
  id: string;
  /** What it is, so that each page finds its own. */
  kind: string;
  person_id: string;
  /** Counts the writes, so that two tabs do not write over each other. */
  step: number;
  value: unknown;
}

/** A record that is only on this phone. */
export interface Waiting extends OutboxRecord {
  /** The order in which records were made and are sent. */
  seq: number;
  person_id: string;
  /** For who else uses this phone. */
  person_name: string;
  site_id: string | null;
  /** What a person calls it, in the language it was made in; for the list of what waits. */
  title: string;
  made_at: string;
  /** Why the server refused it; while null it is to be sent. */
  problem: Problem | null;
}

/** A photo that is only on this phone. It is sent after what it shows, the record first and then the picture. */
export interface Picture {
  id: string;
  person_id: string;
  person_name: string;
  /** What a person calls the subject. */
  title: string;
  body: PhotoBody;
  jpeg: Blob;
  /** Why the server refused it; while null it is to be sent. */
  problem: Problem | null;
}

/** The stores of layout 1. */
export interface Layout extends DBSchema {
  begun: { key: string; value: Begun };
  outbox: { key: number; value: Waiting };
  pictures: { key: string; value: Picture };
  /** What the server said when there was a network: who is signed in, daybooks, plans. */
  notebook: { key: string; value: unknown };
}

export type Store = StoreNames<Layout>;
export type Phone = IDBPDatabase<Layout>;
export type Writing<S extends Store> = IDBPTransaction<Layout, S[], 'readwrite'>;

/** What became of a write: on disk, or why not. */
export type Kept = 'kept' | 'full' | 'elsewhere' | 'unkept';

/** A newer version of the pages has changed the layout: this page can no longer write and must be opened again. */
export const outdated = signal(false);

function upgrade(db: Phone, from: number): void {
  if (from < 1) {
    db.createObjectStore('begun', { keyPath: 'id' });
    db.createObjectStore('outbox', { keyPath: 'seq', autoIncrement: true });
    db.createObjectStore('pictures', { keyPath: 'id' });
    db.createObjectStore('notebook');
  }
}

let opening: Promise<Phone> | null = null;

function open(): Promise<Phone> {
  const mine = openDB<Layout>(name, layout, {
    upgrade: (db, from) => upgrade(db, from),
    blocking: (_from, _to, event) => {
      // Another tab brings a newer layout: let it, instead of holding it up.
      (event.target as IDBDatabase).close();
      opening = null;
      outdated.value = true;
    },
    terminated: () => {
      if (opening === mine) opening = null;
    },
  });
  mine.catch((thrown: unknown) => {
    if (opening === mine) opening = null;
    if (thrown instanceof DOMException && thrown.name === 'VersionError') outdated.value = true;
  });
  return mine;
}

/** The phone's own database. Rejects where the browser keeps none, as some do in private windows. */
export function phone(): Promise<Phone> {
  opening ??= open();
  return opening;
}

function why(thrown: unknown): Kept {
  return thrown instanceof Error && thrown.name === 'QuotaExceededError' ? 'full' : 'unkept';
}

/** What was asked of a transaction before something went wrong must not go through by itself. */
function undo({ abort }: { abort: () => void }): void {
  try {
    abort();
  } catch {
    // it has ended already
  }
}

let writes = Promise.resolve();

/**
 * Writes in one transaction and answers only once it is on disk (durability strict), or
 * with the reason it is not. `act` answers 'kept' to go through or another reason to undo
 * all; it may await nothing but the transaction's own requests.
 */
export async function write<S extends Store>(stores: S[], act: (writing: Writing<S>) => Promise<Kept>): Promise<Kept> {
  const done = tryToWrite(stores, act);
  writes = Promise.all([writes, done]).then(() => undefined);
  return await done;
}

async function tryToWrite<S extends Store>(stores: S[], act: (writing: Writing<S>) => Promise<Kept>, again = true): Promise<Kept> {
  let writing: Writing<S>;
  try {
    writing = (await phone()).transaction(stores, 'readwrite', { durability: 'strict' });
  } catch (thrown) {
    // A connection that was closed under us (say by the browser, to save memory) is opened once more.
    if (again && thrown instanceof DOMException && thrown.name === 'InvalidStateError') {
      opening = null;
      return await tryToWrite(stores, act, false);
    }
    return why(thrown);
  }
  const ended = writing.done.then(
    () => 'kept' as const,
    (thrown: unknown) => why(thrown),
  );
  try {
    const kept = await act(writing);
    if (kept !== 'kept') {
      writing.abort();
      await ended;
      return kept;
    }
    writing.commit();
  } catch (thrown) {
    undo({ abort: () => writing.abort() });
    return (await ended) === 'full' ? 'full' : why(thrown); // the transaction may say more than the request that failed
  }
  return await ended;
}

/** Resolves when every write begun so far is on disk or has failed: before a page is left on purpose. */
export function written(): Promise<void> {
  return writes;
}

/** For tests: forgets everything and closes. */
export async function forgetAll(): Promise<void> {
  const before = opening;
  opening = null;
  outdated.value = false;
  await before?.then((db) => db.close()).catch(() => undefined);
  await deleteDB(name);
}
