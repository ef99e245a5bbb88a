import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, sep } from 'node:path';
import type { Plugin } from 'vite';

import type { Shell, ShellFile } from './src/update/shell';

/** Where the service worker lies: no hash, because its address is its identity. */
export const workerName = 'sw.js';

/** Large: the worker is installed without waiting for it. */
const afterwards = [/\.wasm$/];

/** Not needed to show a page. */
const never = [/(^|\/)\./, /\.map$/, /\.md$/, /\.txt$/, /^sw\.js$/];

const isIn = (patterns: readonly RegExp[], path: string): boolean => patterns.some((pattern) => pattern.test(path));

const hash = (content: Buffer | string): string => `sha256-${createHash('sha256').update(content).digest('base64')}`;

/** What a worker keeps of the files of a build. The version is the same for the same files, wherever they were built. */
export function shellOf(built: ReadonlyMap<string, Buffer>): Shell {
  const paths = [...built.keys()].filter((path) => !isIn(never, path)).sort();
  const hashed = (some: readonly string[]): ShellFile[] => some.map((path) => [path, hash(built.get(path) ?? '')]);
  const files = hashed(paths.filter((path) => !isIn(afterwards, path)));
  const later = hashed(paths.filter((path) => isIn(afterwards, path)));
  return { version: hash(JSON.stringify([files, later])), files, afterwards: later };
}

function filesIn(folder: string): Map<string, Buffer> {
  const found = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
  const path = (parent: string, name: string): string => join(parent, name).slice(folder.length + 1).replaceAll(sep, '/');
  return new Map(found.map(({ parentPath, name }) => [path(parentPath, name), readFileSync(join(parentPath, name))]));
}

/**
 * Writes the list of the built files at the head of the service worker, from the files as they lie in the
 * folder: a placeholder in its source would not survive the minifier.
 */
export function precache(): Plugin {
  return {
    name: 'benchtrail-precache',
    apply: 'build',
    writeBundle: {
      order: 'post',
      sequential: true,
      handler({ dir }, bundle) {
        const worker = bundle[workerName];
        if (dir === undefined || worker?.type !== 'chunk') throw new Error(`the build has no ${workerName}`);
        if (worker.imports.length > 0) throw new Error(`${workerName} must stand alone, but imports ${worker.imports.join(', ')}`);
        const shell = shellOf(filesIn(dir));
        writeFileSync(join(dir, workerName), `self.shell=${JSON.stringify(shell)};\n${worker.code}`);
      },
    },
  };
}
