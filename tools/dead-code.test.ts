import { expect, test } from 'vitest';
import { runNode } from './run-tool.ts';

test('no file, export or dependency is without use', async () => {
  const { code, stdout, stderr } = await runNode([
    'node_modules/knip/bin/knip.js',
    '--no-progress',
    '--no-config-hints',
  ]);
  expect(stdout + stderr).toBe('');
  expect(code).toBe(0);
});
