import { expect, test } from 'vitest';
import { IMPEDANCE_LIMITS } from './impedance-limits.ts';
import { PUBLISHED_IMPEDANCE } from './published-impedance.ts';

// Sup et al. 2009, table III, printed per degree at 2.8 km/h: N·m/deg, N·m·s/deg, deg.
const PRINTED = [
  ['ankle', 3, 0.04, -1],
  ['ankle', 5, 0.04, 0],
  ['ankle', 5, 0.01, -16],
  ['knee', 2.5, 0.05, 10],
  ['knee', 5, 0.06, 6],
  ['knee', 3.5, 0.02, 14],
] as const;

test('one degree from its rest a tuned spring pulls what the table prints per degree', () => {
  const tuned = PUBLISHED_IMPEDANCE.filter(({ how }) => how === 'tuned');
  expect(tuned).toHaveLength(PRINTED.length);
  tuned.forEach(({ joint, stiffness, damping, equilibrium }, k) => {
    const [name, perDegree, damped, degrees] = PRINTED[k]!;
    expect(joint).toBe(name);
    const from = (degrees * Math.PI) / 180;
    expect(stiffness! * (((degrees + 1) * Math.PI) / 180 - equilibrium!)).toBeCloseTo(perDegree, 12);
    expect(damping! * (Math.PI / 180)).toBeCloseTo(damped, 12);
    expect(equilibrium).toBeCloseTo(from, 12);
  });
});

test('what perturbations measured lies within what a fit may find', () => {
  const pushed = PUBLISHED_IMPEDANCE.filter(({ how }) => how === 'perturbation');
  expect(pushed).toHaveLength(4);
  for (const { stiffness, damping } of pushed) {
    const limit = IMPEDANCE_LIMITS.ankle[stiffness === undefined ? 'damping' : 'stiffness'];
    const value = stiffness ?? damping!;
    expect(value).toBeGreaterThan(limit.low);
    expect(value).toBeLessThan(limit.high);
  }
});
