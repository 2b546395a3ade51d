import { defineConfig } from 'vitest/config';

/** Dissection, namespaces and child processes take their time on a small machine; a hung test still ends. */
const patient = { testTimeout: 60_000, hookTimeout: 60_000, fileParallelism: false };

export default defineConfig({
  test: {
    projects: [
      { test: { name: 'unit', include: ['tests/**/*.test.ts'], exclude: ['tests/system/**', 'tests/ui/**'], testTimeout: 60_000 } },
      { test: { name: 'ui', include: ['tests/ui/**/*.test.ts'], ...patient } },
      { test: { name: 'system', include: ['tests/system/**/*.test.ts'], ...patient } },
    ],
  },
});
