// What the searches find by the roots of a polynomial is judged by the loop in time, which knows of none.
import { describe, expect, test } from 'vitest';
import type { Load } from './loop-polynomial.ts';
import { softwareGains } from './software-gains.ts';
import { largestDamper, steadiestDamper, stiffestBorne } from './steadiest-damper.ts';
import { growth, JOINT } from './test-joint.ts';

const ELASTIC = { ...JOINT, rotorInertia: 0.11, rotorDamping: 0.05, gearStiffness: 900 };
const LOADS: readonly Load[] = [{ inertia: 0.012 }, 'held'];

/** What is left of a push, at the joint's gains. */
const left = (stiffness: number, damping: number, load: Load = 'held'): number => {
  const { stiffness: K, damping: B } = softwareGains(ELASTIC, { stiffness, damping })!;
  return growth(ELASTIC, K, B, load);
};

test.each([50, 200, 400, 550])(
  'beside %s N·m/rad no other damper lets a push against the held joint die out faster',
  (K) => {
    const best = steadiestDamper(ELASTIC, K);
    const there = left(K, best);
    expect(there).toBeLessThan(1e-6);
    for (const share of [0.7, 0.85, 1.2, 1.5]) expect(left(K, share * best)).toBeGreaterThan(there);
  },
);

test('the stiffest spring is the last that is stable with its damper, in the air and on the ground', () => {
  const most = stiffestBorne(ELASTIC, LOADS, 1);
  expect(most).toBeGreaterThan(300);
  for (const load of LOADS)
    expect(left(0.97 * most, steadiestDamper(ELASTIC, 0.97 * most), load)).toBeLessThan(1);
  const beyond = 1.03 * most;
  expect(
    Math.max(...LOADS.map((load) => left(beyond, steadiestDamper(ELASTIC, beyond), load))),
  ).toBeGreaterThan(1);
});

test('a lighter rotor behind the same gears bears less', () => {
  const light = { ...ELASTIC, rotorInertia: 0.02 };
  expect(stiffestBorne(light, ['held'], 1)).toBeLessThan(0.6 * stiffestBorne(ELASTIC, ['held'], 1));
});

test.each([100, 600])(
  'the largest damper beside %s N·m/rad of the software is where the loop turns unstable',
  (K) => {
    const most = largestDamper(ELASTIC, LOADS, K);
    for (const load of LOADS) expect(growth(ELASTIC, K, 0.95 * most, load)).toBeLessThan(1);
    expect(Math.max(...LOADS.map((load) => growth(ELASTIC, K, 1.05 * most, load)))).toBeGreaterThan(1);
  },
);

describe('where there is nothing to search', () => {
  test('rigid gears, or an angle of the joint’s own: the critical damper', () => {
    expect(steadiestDamper(JOINT, 100)).toBeCloseTo(2 * Math.sqrt(100 * JOINT.rotorInertia), 12);
    expect(steadiestDamper({ ...ELASTIC, measuredAt: 'joint' }, 100)).toBeCloseTo(2 * Math.sqrt(11), 12);
  });

  test('rigid gears set the stiffest spring no bound here', () => {
    expect(stiffestBorne(JOINT, LOADS, 1)).toBe(Number.POSITIVE_INFINITY);
  });

  test('no damper makes a spring stable that is too stiff for the loop: 0', () => {
    expect(largestDamper({ ...ELASTIC, rotorInertia: 0.002 }, LOADS, 5000)).toBe(0);
  });

  test('beyond the gears there is none', () => {
    expect(steadiestDamper(ELASTIC, 900)).toBeNaN();
  });
});
