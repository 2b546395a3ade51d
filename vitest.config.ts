import { defineConfig } from 'vitest/config';

/** Dissection, namespaces and child processes take their time on a small machine; a hung test still ends. */
const patient = { testTimeout: 60_000, hookTimeout: 60_000 };
/**
 * Files that take the machine for themselves: they measure time or counts in it, fill it, or send Art-Net on the loopback, where all nodes
 * share one port and hear each other's broadcasts.
 */
const ALONE = 'tests/system/**/*.alone.test.ts';

/** Long ones of the browser, of single pages of the bench, that `npm run test:long` runs besides: the gate goes its whole way once, and opens its main pages. */
const LONG = ['lights', 'here', 'eye', 'history', 'lists', 'moving', 'shows', 'show', 'photo', 'heard', 'places', 'point'].map(
  (page) => `tests/ui/bench-${page}.test.ts`,
);

// One project after the other; of a kind that is not alone, two files at a time.
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/system/**', 'tests/ui/**'],
          // Nothing that they test keeps anything for the next: what is loaded once serves all.
          isolate: false,
          pool: 'threads',
          maxWorkers: 2,
          // A property of many runs, on a machine that does something else as well.
          testTimeout: 60_000,
          sequence: { groupOrder: 0 },
        },
      },
      {
        test: {
          name: 'system',
          include: ['tests/system/**/*.test.ts'],
          exclude: [ALONE],
          ...patient,
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
        },
      },
      {
        test: {
          name: 'ui',
          include: ['tests/ui/**/*.test.ts'],
          exclude: process.env.LONG === 'all' ? [] : LONG,
          ...patient,
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
        },
      },
      { test: { name: 'alone', include: [ALONE], ...patient, maxWorkers: 1, sequence: { groupOrder: 2 } } },
    ],
  },
});
