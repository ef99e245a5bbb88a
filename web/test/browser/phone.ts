import type { Locator, Page } from 'playwright-core';

import type { Begun, Waiting } from '../../src/local/db';

/** The strip under the head that says how much is only on this phone. */
export const strip = (page: Page): Locator => page.locator('.phone-strip');

/** What is kept on the phone, read from its disk. */
export async function onPhone(page: Page): Promise<{ begun: Begun[]; outbox: Waiting[] }> {
  return await page.evaluate(
    () =>
      new Promise((resolve, reject) => {
        const opening = indexedDB.open('benchtrail');
        opening.onerror = () => reject(new Error('no database'));
        opening.onsuccess = () => {
          const db = opening.result;
          const reading = db.transaction(['begun', 'outbox']);
          const begun = reading.objectStore('begun').getAll();
          const outbox = reading.objectStore('outbox').getAll();
          reading.oncomplete = () => {
            db.close();
            resolve({ begun: begun.result as Begun[], outbox: outbox.result as Waiting[] });
          };
        };
      }),
  );
}

/** Waits until the pages are kept on the phone, so that they open without a network. */
export async function workerInControl(page: Page): Promise<void> {
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null, undefined, { timeout: 60_000 });
}

/**
 * Fills the phone to the last byte that the browser gives. It counts in steps, so smaller and smaller pieces are tried;
 * the bytes are random, since the browser packs what is alike and has room again.
 */
export async function fillUp(page: Page): Promise<void> {
  await page.evaluate(async () => {
    const db = await new Promise<IDBDatabase>((resolve) => {
      const opening = indexedDB.open('benchtrail');
      opening.onsuccess = () => resolve(opening.result);
    });
    const ballast = (size: number): Uint8Array => {
      const bytes = new Uint8Array(size);
      for (let from = 0; from < size; from += 65_536) crypto.getRandomValues(bytes.subarray(from, from + 65_536));
      return bytes;
    };
    const fits = (size: number): Promise<boolean> =>
      new Promise((resolve) => {
        const writing = db.transaction('notebook', 'readwrite');
        writing.objectStore('notebook').put(ballast(size), `ballast ${Math.random()}`);
        writing.oncomplete = () => resolve(true);
        writing.onabort = () => resolve(false);
      });
    let left = 2_000;
    for (let size = 4_000_000; size >= 1; size = Math.floor(size / 4)) {
      while (await fits(size)) if (--left === 0) throw new Error(`the phone does not get full: pieces of ${size} bytes still fit`);
    }
    db.close();
  });
}
