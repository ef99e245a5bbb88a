import { defineConfig } from 'vitest/config';

import { precache, workerName } from './precache.ts';

export default defineConfig({
  plugins: [precache()],
  build: {
    outDir: 'dist',
    emptyOutDir: true, // public/.keep puts the kept file back
    assetsInlineLimit: 0, // the content policy allows no data: addresses
    target: 'es2022',
    license: { fileName: 'licences.md' },
    rolldownOptions: {
      input: { index: 'index.html', sw: 'src/sw.ts' },
      output: { entryFileNames: ({ name }) => (name === 'sw' ? workerName : 'assets/[name]-[hash].js') },
    },
  },
  server: { proxy: { '/api': 'http://127.0.0.1:8080' } },
  test: { include: ['test/unit/**/*.test.{ts,tsx}'], environment: 'node', setupFiles: ['test/unit/setup.ts'] },
});
