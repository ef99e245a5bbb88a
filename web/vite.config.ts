import { defineConfig } from 'vitest/config';

export default defineConfig({
  build: {
    outDir: 'dist',
    emptyOutDir: true, // public/.keep puts the kept file back
    assetsInlineLimit: 0, // the content policy allows no data: addresses
    target: 'es2022',
    license: { fileName: 'licences.md' },
  },
  server: { proxy: { '/api': 'http://127.0.0.1:8080' } },
  test: { include: ['test/unit/**/*.test.{ts,tsx}'], environment: 'node', setupFiles: ['test/unit/setup.ts'] },
});
