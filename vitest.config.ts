import { defineConfig } from 'vitest/config';

const long = process.env.STRIDERULE_LONG === '1';

/** Tests of pure functions: nothing of one file can reach another, so they share what is loaded. */
const PURE = ['engine/**/*.test.ts', 'reference/**/*.test.ts', 'wire/**/*.test.ts'];

export default defineConfig({
  test: {
    exclude: ['**/node_modules/**', '**/dist/**', ...(long ? [] : ['**/*.long.test.ts'])],
    projects: [
      { extends: true, test: { name: 'pure', include: PURE, isolate: false } },
      { extends: true, test: { name: 'whole', include: ['**/*.test.ts'], exclude: PURE } },
    ],
    maxWorkers: 2,
    testTimeout: long ? 600_000 : 60_000,
    hookTimeout: 120_000,
    coverage: {
      provider: 'v8',
      include: [
        'engine/**/*.ts',
        'store/**/*.ts',
        'wire/**/*.ts',
        'threads/**/*.ts',
        'apps/{cli,server}/**/*.ts',
      ],
      exclude: ['**/*.test.ts'],
      reporter: ['text-summary'],
    },
  },
});
