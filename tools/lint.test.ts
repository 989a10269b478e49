import { expect, test } from 'vitest';
import { runNode } from './run-tool.ts';

test('lint and format find nothing', async () => {
  const { code, stdout, stderr } = await runNode([
    'node_modules/@biomejs/biome/bin/biome',
    'ci',
    '--colors=off',
    '--error-on-warnings',
    '--max-diagnostics=20',
    '.',
  ]);
  expect(code, stdout + stderr).toBe(0);
});
