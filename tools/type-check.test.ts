import { expect, test } from 'vitest';
import { runNode } from './run-tool.ts';

test('every workspace passes the strict type check', async () => {
  const { code, stdout, stderr } = await runNode(['node_modules/ts7/bin/tsc', '-b', '--pretty', 'false']);
  expect(stdout + stderr).toBe('');
  expect(code).toBe(0);
});
