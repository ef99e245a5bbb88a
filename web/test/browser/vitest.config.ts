import { defineConfig } from 'vitest/config';

// The real program, its own Postgres and a real browser: one file after the other.
export default defineConfig({
  test: {
    include: ['test/browser/**/*.test.ts'],
    environment: 'node',
    globalSetup: 'test/browser/demo.ts',
    fileParallelism: false,
    testTimeout: 240_000,
    hookTimeout: 60_000,
    reporters: ['verbose'],
  },
});
