import { describe, expect, test } from 'vitest';

import { shellOf } from '../../precache';

const built = (more: Record<string, string> = {}): Map<string, Buffer> =>
  new Map(
    Object.entries({
      'sw.js': 'worker',
      'index.html': '<!doctype html>',
      'assets/index-abc.js': 'code',
      'assets/index-abc.js.map': 'map',
      'assets/index-abc.css': 'style',
      'assets/reader-abc.wasm': 'large',
      'icons/icon-192.png': 'picture',
      'manifest.webmanifest': '{}',
      'licences.md': 'long',
      'licences-reader.txt': 'long',
      '.keep': '',
      ...more,
    }).map(([path, text]) => [path, Buffer.from(text)]),
  );

describe('the list of files a phone keeps', () => {
  test('has what shows a page, and neither the worker itself nor maps, licences and hidden files', () => {
    expect(shellOf(built()).files.map(([path]) => path)).toEqual([
      'assets/index-abc.css',
      'assets/index-abc.js',
      'icons/icon-192.png',
      'index.html',
      'manifest.webmanifest',
    ]);
  });

  test('leaves the large reader of codes for afterwards, also with its hash', () => {
    expect(shellOf(built()).afterwards).toEqual([['assets/reader-abc.wasm', expect.stringMatching(/^sha256-/)]]);
  });

  test('says of each file what fetch needs to tell it from another', () => {
    const [, integrity] = shellOf(built()).files.find(([path]) => path === 'manifest.webmanifest') ?? [];
    expect(integrity).toBe('sha256-RBNvo1WzZ4oRRq0W9+hknpT7T8If536DEMBg9hyq/4o=');
  });

  test('has another version when a file changed, and the same one when the same files came in another order', () => {
    const version = shellOf(built()).version;
    expect(shellOf(new Map([...built()].reverse())).version).toBe(version);
    expect(shellOf(built({ 'index.html': '<!doctype html><p>' })).version).not.toBe(version);
    expect(shellOf(built({ 'assets/more-abc.wasm': '' })).version).not.toBe(version);
    expect(shellOf(built({ 'licences.md': 'longer' })).version).toBe(version);
  });
});
