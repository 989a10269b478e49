import { expect, test } from 'vitest';
import { killSeries } from './test-kill-series.ts';

test('kill -9 during save, 1,000 times: always a whole version, and no temporary file stays', async () => {
  const { moved, left } = await killSeries(1000);
  expect(moved).toBeGreaterThan(500);
  expect(left).toEqual(['.notes.yaml.swp', 'leg.yaml']);
});

test('the same series catches a save that is not atomic', async () => {
  await expect(killSeries(1000, './test-plain-save-loop.ts')).rejects.toThrow(/JSON|not as it was written/);
});
