import { defineConfig } from 'vitest/config';

const long = process.env.STRIDERULE_LONG === '1';

export default defineConfig({
  test: {
    include: ['**/*.test.ts'],
    exclude: ['**/node_modules/**', '**/dist/**', ...(long ? [] : ['**/*.long.test.ts'])],
    maxWorkers: 2,
    testTimeout: long ? 600_000 : 60_000,
    hookTimeout: 120_000,
    coverage: {
      provider: 'v8',
      include: ['engine/**/*.ts', 'store/**/*.ts', 'wire/**/*.ts', 'apps/{cli,server}/**/*.ts'],
      exclude: ['**/*.test.ts'],
      reporter: ['text-summary'],
    },
  },
});
