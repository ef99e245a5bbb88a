import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

import { build } from 'vite';

const web = resolve(import.meta.dirname, '../..');

/** Builds the pages as they could be in a later version: the title of Sums says which. Answers the folder, which is the caller's to remove. */
export async function buildNext(name: string): Promise<string> {
  const outDir = mkdtempSync(join(tmpdir(), `bt-pages-${name}-`));
  process.env.NODE_ENV = 'production'; // the tests' own would make it a build for development
  await build({
    root: web,
    configFile: join(web, 'vite.config.ts'),
    logLevel: 'error',
    mode: 'production',
    build: { outDir, emptyOutDir: true },
    plugins: [
      {
        name: 'next-version',
        enforce: 'pre',
        transform: (code, id) => {
          if (id.endsWith('src/words/en/sums.ts')) return code.replace(/title: '[^']*'/, `title: 'Sums ${name}'`);
          // A change that every chunk sees, as one in the framework would be.
          return id.endsWith('src/parts/button.tsx') ? `${code}\n(globalThis as { build?: string }).build = '${name}';\n` : undefined;
        },
      },
    ],
  });
  return outDir;
}
