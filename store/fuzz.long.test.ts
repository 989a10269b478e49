import { test } from 'vitest';
import { damage } from './test-damage.ts';

test('random damage, 5,000 times', { timeout: 1_800_000 }, async () => {
  await damage(12, 5_000);
});
