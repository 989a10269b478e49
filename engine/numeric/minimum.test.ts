import fc from 'fast-check';
import { expect, test } from 'vitest';
import { minimum } from './minimum.ts';

test('the vertex of any parabola inside, the nearer end otherwise', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -5, max: 5, noNaN: true }),
      fc.double({ min: 0.1, max: 9, noNaN: true }),
      (vertex, bend) => {
        const { at } = minimum((x) => bend * (x - vertex) ** 2, -2, 3);
        // f resolves √ε of its width near the vertex
        return Math.abs(at - Math.min(3, Math.max(-2, vertex))) < 1e-5;
      },
    ),
    { seed: 4 },
  );
});

test('the deeper of two valleys', () => {
  // (x² − 1)² + x/4: valleys near −1 and 1, the left one deeper; f' = 4x³ − 4x + ¼ vanishes at x = −1.0298 (by Newton from −1)
  let root = -1;
  for (let k = 0; k < 20; k++) root -= (4 * root ** 3 - 4 * root + 0.25) / (12 * root ** 2 - 4);
  expect(minimum((x) => (x * x - 1) ** 2 + x / 4, -2, 2).at).toBeCloseTo(root, 5);
});
