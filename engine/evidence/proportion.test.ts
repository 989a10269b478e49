import { expect, test } from 'vitest';
import { proportion } from './proportion.ts';

// SciPy 1.17.1, scipy.stats.binomtest(hits, draws).proportion_ci(method='wilson').
const SCIPY = [
  [3, 10, 0.10779126740630102, 0.6032218525388546],
  [0, 50, 0, 0.07134759913335872],
  [50, 50, 0.9286524008666412, 1],
  [9731, 10000, 0.9697426894962444, 0.9760939712454213],
] as const;

test.each(SCIPY)('%d of %d: Wilson interval as SciPy gives it', (hits, draws, low, high) => {
  const got = proportion(hits, draws);
  expect(got.share).toBe(hits / draws);
  expect(got.low).toBeCloseTo(low, 12);
  expect(got.high).toBeCloseTo(high, 12);
});
