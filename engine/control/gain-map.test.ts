import { expect, test } from 'vitest';
import { gainMap } from './gain-map.ts';
import { loopPolynomial } from './loop-polynomial.ts';
import { largestStableStiffness, stable } from './loop-stability.ts';
import { passivity } from './passivity.ts';
import { softwareGains } from './software-gains.ts';
import { JOINT } from './test-joint.ts';

const damped = { ...JOINT, rotorDamping: 2 };
const loadsOf = (joint: typeof JOINT) => [
  loopPolynomial(joint, { inertia: 0 })!,
  loopPolynomial(joint, { inertia: 0.2 })!,
];
const loops = loadsOf(damped);
const even = (most: number, n: number) => Float64Array.from({ length: n }, (_, k) => (most * (k + 1)) / n);

test('every point of the map is what stability and passivity say one by one; both kinds occur', () => {
  for (const joint of [damped, { ...damped, gearStiffness: 1500 }]) {
    const own = loadsOf(joint);
    const map = gainMap(joint, own, { stiffnesses: even(2000, 10), dampings: even(20, 10) });
    let counts = [0, 0];
    for (const [row, damping] of map.dampings.entries())
      for (const [column, stiffness] of map.stiffnesses.entries()) {
        const at = row * 10 + column;
        const gains = softwareGains(joint, { stiffness, damping });
        expect(map.within[at]).toBe(gains === undefined ? 0 : 1);
        const [s, p] = [map.stable[at]!, map.passive[at]!];
        expect(s).toBe(gains !== undefined && own.every((loop) => stable(loop, gains)) ? 1 : 0);
        expect(p).toBe(gains !== undefined && passivity(joint, gains).passive ? 1 : 0);
        counts = [counts[0]! + s, counts[1]! + p];
      }
    for (const count of counts) {
      expect(count).toBeGreaterThan(1);
      expect(count).toBeLessThan(10 * 10 - 3);
    }
  }
});

test('200 × 200: each row ends at the largest stable stiffness, which the other search finds from below', () => {
  const map = gainMap(damped, loops, { stiffnesses: even(4000, 200), dampings: even(20, 200) });
  for (const row of [0, 40, 111, 199]) {
    const limit = Math.min(
      ...loops.map((loop) => largestStableStiffness(loop, map.dampings[row]!, damped.rotorInertia / 1e-6)),
    );
    const inRow = map.stable.slice(row * 200, row * 200 + 200);
    expect(inRow.lastIndexOf(1)).toBe(Math.min(199, Math.floor(limit / 20) - 1));
    if (limit < 4000) expect(Math.abs(map.stableUpTo[row]! / limit - 1)).toBeLessThan(1e-6);
    else expect(map.stableUpTo[row]).toBe(Number.POSITIVE_INFINITY);
  }
});

test('a damping at which nothing is stable has no largest stiffness', () => {
  const map = gainMap(damped, loops, { stiffnesses: even(100, 4), dampings: Float64Array.of(1, 1e4) });
  expect(map.stableUpTo[0]).toBe(Number.POSITIVE_INFINITY);
  expect(map.stableUpTo[1]).toBeNaN();
});
