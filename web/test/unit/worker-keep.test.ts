import { describe, expect, test } from 'vitest';

import { fill, tidy } from '../../src/update/keep';
import { isFile, keyFor, keyOf, type Asked } from '../../src/update/shell';
import { shell, storeOf } from './worker-store';

const origin = 'https://pages.example';
const version = { ...shell('one', 'index-a.js'), afterwards: [['assets/reader-a.wasm', 'sha256-reader']] as const };
const index = '/index.html?sha256-one';
const keyAt = (path: string, asked: Partial<Asked> = {}): string | null =>
  keyFor({ method: 'GET', mode: 'cors', url: new URL(path, origin).href, ...asked }, origin, version);
const pageAt = (path: string): string | null => keyAt(path, { mode: 'navigate' });

describe('what the worker answers', () => {
  test('is the index of its own version for every address of the pages', () => {
    for (const path of ['/', '/walk', '/dock/lots/0192', '/sign-in?to=%2Fwalk', '/apiary', '/l/0192']) expect(pageAt(path), path).toBe(index);
  });

  test('is nothing for the interface, the health of the server, another origin, another method and files one opens', () => {
    for (const path of ['/api/v1/sites', '/api', '/healthz', '/readyz']) {
      expect(keyAt(path), path).toBeNull();
      expect(pageAt(path), path).toBeNull();
    }
    expect(keyAt('https://elsewhere.example/assets/index-a.js')).toBeNull();
    expect(keyAt('/assets/index-a.js', { method: 'POST' })).toBeNull();
    expect(keyAt('/assets/index-a.js', { method: 'HEAD' })).toBeNull();
    expect(pageAt('/licences.md')).toBeNull();
    expect(pageAt('/assets/index-a.js')).toBeNull();
    expect(keyAt('/licences.md')).toBeNull();
    expect(keyAt('/sw.js')).toBeNull();
  });

  test('is whatever is kept under the name of a hashed file, of this version or another', () => {
    expect(keyAt('/assets/index-a.js')).toBe('/assets/index-a.js');
    expect(keyAt('/assets/of-an-older-version-b.js')).toBe('/assets/of-an-older-version-b.js');
  });

  test('is the right version of a file whose name stays the same', () => {
    expect(keyOf(['favicon.svg', 'sha256-a+b/c='])).toBe('/favicon.svg?sha256-a%2Bb%2Fc%3D');
  });

  test('is kept only where it is the file that was asked for', () => {
    const answer = (kind: string, status = 200): Response => new Response('', { status, headers: { 'Content-Type': kind } });
    expect(isFile(answer('application/wasm'))).toBe(true);
    expect(isFile(answer('text/html; charset=utf-8'))).toBe(false); // a hotel's login page
    expect(isFile(answer('application/wasm', 206))).toBe(false);
    expect(isFile(answer('text/plain', 404))).toBe(false);
  });
});

describe('filling the cache', () => {
  const good = (): Promise<Response> => Promise.resolve(new Response('fetched'));

  test('fetches only what is not there, with the hash that each file must have', async () => {
    const store = storeOf(['/assets/same-a.js', '/index.html?sha256-old']);
    const asked: [string, string | undefined][] = [];
    await fill(store, shell('new', 'same-a.js', 'changed-b.js').files, (path, { integrity }) => {
      asked.push([path, integrity]);
      return good();
    });
    expect(asked.sort()).toEqual([
      ['/assets/changed-b.js', 'sha256-changed-b.js'],
      ['/index.html', 'sha256-new'],
    ]);
    expect(store.held()).toEqual(['/assets/changed-b.js', '/assets/same-a.js', '/index.html?sha256-new', '/index.html?sha256-old']);
  });

  test('never takes the index out of the browser\'s own cache unasked', async () => {
    const modes: (string | undefined)[] = [];
    await fill(storeOf(), shell('new').files, (_, { cache }) => {
      modes.push(cache);
      return good();
    });
    expect(modes).toEqual(['no-cache']);
  });

  test('asks the server itself when what the browser had kept is broken', async () => {
    const store = storeOf();
    await fill(store, shell('new', 'index-a.js').files, (path, { cache }) =>
      path.startsWith('/assets') && cache !== 'reload' ? Promise.reject(new TypeError('wrong hash')) : good(),
    );
    expect(store.held()).toHaveLength(2);
  });

  test('fails when a file does not come, keeps the others, and next time fetches that one alone', async () => {
    const store = storeOf();
    const whole = shell('new', 'first-a.js', 'last-b.js');
    const failing = (path: string): Promise<Response> => (path.includes('first') ? Promise.reject(new TypeError('cut')) : good());
    await expect(fill(store, whole.files, failing)).rejects.toThrow('cut');
    expect(store.held()).toEqual(['/assets/last-b.js', '/index.html?sha256-new']);
    const asked: string[] = [];
    await fill(store, whole.files, (path) => {
      asked.push(path);
      return good();
    });
    expect(asked).toEqual(['/assets/first-a.js']);
  });

  test('fails on an answer that is not there, and gives up soon when nothing comes', async () => {
    await expect(fill(storeOf(), shell('new').files, () => Promise.resolve(new Response('', { status: 404 })))).rejects.toThrow('404 for index.html');
    let asked = 0;
    const many = Array.from({ length: 60 }, (_, i) => `part-${i}.js`);
    const down = (): Promise<Response> => {
      asked++;
      return Promise.reject(new TypeError('down'));
    };
    await expect(fill(storeOf(), shell('new', ...many).files, down)).rejects.toThrow('down');
    expect(asked).toBeLessThan(20);
  });
});

describe('tidying the cache', () => {
  const keep = async (store: ReturnType<typeof storeOf>, next: ReturnType<typeof shell>): Promise<void> => {
    await fill(store, next.files, () => Promise.resolve(new Response('fetched')));
    await tidy(store, next);
  };

  test('leaves the version before, for pages that are still open, and removes the one before that', async () => {
    const store = storeOf();
    await keep(store, shell('1', 'a-1.js', 'same.js'));
    await keep(store, shell('2', 'a-2.js', 'same.js'));
    expect(store.held()).toEqual(['/assets/a-1.js', '/assets/a-2.js', '/assets/same.js', '/index.html?sha256-1', '/index.html?sha256-2']);
    await keep(store, shell('3', 'a-3.js'));
    expect(store.held()).toEqual(['/assets/a-2.js', '/assets/a-3.js', '/assets/same.js', '/index.html?sha256-2', '/index.html?sha256-3']);
  });

  test('does not take the same version, installed anew, for the one before', async () => {
    const store = storeOf();
    await keep(store, shell('1', 'a-1.js'));
    await keep(store, shell('2', 'a-2.js'));
    await keep(store, shell('2', 'a-2.js'));
    expect(store.held()).toContain('/assets/a-1.js');
  });

  test('removes a version that was fetched and never used', async () => {
    const store = storeOf();
    await keep(store, shell('1', 'a-1.js'));
    await fill(store, shell('2', 'a-2.js').files, () => Promise.resolve(new Response('fetched')));
    await keep(store, shell('3', 'a-3.js'));
    expect(store.held()).toEqual(['/assets/a-1.js', '/assets/a-3.js', '/index.html?sha256-1', '/index.html?sha256-3']);
  });

  test('leaves what was kept at its first use', async () => {
    const store = storeOf(['/assets/reader-a.wasm', '/assets/reader-old.wasm']);
    await keep(store, version);
    expect(store.held()).toEqual(['/assets/index-a.js', '/assets/reader-a.wasm', index]);
  });
});
