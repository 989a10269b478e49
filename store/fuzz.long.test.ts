import { test } from 'vitest';
import { damage } from './test-damage.ts';

test('random damage, 5,000 times', async () => {
  await damage(12, 5_000);
});
