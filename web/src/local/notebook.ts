import { phone, write } from './db';

/** Notes down what the server said, for when there is no network. A note that does not fit is left out: it can be fetched again. */
export async function noteDown(key: string, value: unknown): Promise<void> {
  await write(['notebook'], async (writing) => {
    await writing.objectStore('notebook').put(value, key);
    return 'kept';
  });
}

/** What was noted down under a key; undefined where there is none. `isIt` holds the value against what is expected of it. */
export async function recall<T>(key: string, isIt: (value: unknown) => value is T): Promise<T | undefined> {
  try {
    const value: unknown = await (await phone()).get('notebook', key);
    return isIt(value) ? value : undefined;
  } catch {
    return undefined;
  }
}

/** Strikes out a note. */
export async function strikeOut(key: string): Promise<void> {
  await write(['notebook'], async (writing) => {
    await writing.objectStore('notebook').delete(key);
    return 'kept';
  });
}
