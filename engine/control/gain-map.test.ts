import { expect, test } from 'vitest';
import { gainMap } from './gain-map.ts';
import { loopPolynomial } from './loop-polynomial.ts';
import { largestStableStiffness, stable } from './loop-stability.ts';
import { passivity } from './passivity.ts';
import { JOINT } from './test-joint.ts';

const damped = { ...JOINT, rotorDamping: 2 };
const loops = [loopPolynomial(damped, { inertia: 0 })!, loopPolynomial(damped, { inertia: 0.2 })!];

test('every point of the map is what stability and passivity say one by one; both kinds occur', () => {
  const map = gainMap(damped, loops, { stiffness: 2000, damping: 20 }, 10);
  let counts = [0, 0];
  for (const [row, damping] of map.dampings.entries())
    for (const [column, stiffness] of map.stiffnesses.entries()) {
      const gains = { stiffness, damping };
      const [s, p] = [map.stable[row * 10 + column], map.passive[row * 10 + column]];
      expect(s).toBe(loops.every((loop) => stable(loop, gains)) ? 1 : 0);
      expect(p).toBe(passivity(damped, gains).passive ? 1 : 0);
      counts = [counts[0]! + s, counts[1]! + p];
    }
  for (const count of counts) {
    expect(count).toBeGreaterThan(3);
    expect(count).toBeLessThan(10 * 10 - 3);
  }
});

test('200 × 200: each row ends at the largest stable stiffness', () => {
  const map = gainMap(damped, loops, { stiffness: 4000, damping: 20 });
  for (const row of [0, 40, 111, 199]) {
    const limit = Math.min(
      ...loops.map((loop) => largestStableStiffness(loop, map.dampings[row], damped.rotorInertia / 1e-6)),
    );
    const inRow = map.stable.slice(row * 200, row * 200 + 200);
    expect(inRow.lastIndexOf(1)).toBe(Math.min(199, Math.floor(limit / 20) - 1));
  }
});
