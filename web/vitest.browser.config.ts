import { defineConfig } from 'vitest/config';

// Each file has a server and a browser of its own; two at a time is what a small machine bears.
export default defineConfig({
  test: {
    globalSetup: ['tests/browser/once.ts'],
    setupFiles: ['tests/setup.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    maxWorkers: 2,
    minWorkers: 1,
    pool: 'forks',
  },
});
