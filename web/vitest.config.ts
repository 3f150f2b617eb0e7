import { defineConfig } from 'vitest/config';

export default defineConfig({ test: { setupFiles: ['tests/setup.ts'], testTimeout: 60_000, hookTimeout: 30_000, fileParallelism: false } });
