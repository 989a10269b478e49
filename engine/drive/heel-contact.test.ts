import { expect, test } from 'vitest';
import { rungeKutta4 } from '../numeric/runge-kutta.ts';
import { contactPeak } from './heel-contact.ts';
import { near } from './test-motor.ts';

/** The same meeting, integrated in time. */
function met(k: number, d: number, mass: number, speed: number): { force: number; depth: number } {
  const y = Float64Array.of(0, speed);
  const force = (): number => k * y[0] ** 1.5 * (1 + d * y[1]);
  const step = rungeKutta4((s, out) => {
    out[0] = s[1];
    out[1] = (-k * Math.max(0, s[0]) ** 1.5 * (1 + d * s[1])) / mass;
  }, 2);
  let [most, deepest] = [0, 0];
  for (let i = 0; i < 200_000 && y[1] > 0; i++) {
    step(y, 1e-6);
    most = Math.max(most, force());
    deepest = Math.max(deepest, y[0]);
  }
  return { force: most, depth: deepest };
}

test.each([
  [4e5, 1, 25, 0.5],
  [4e5, 0, 25, 0.5],
  [1.2e6, 2, 4, 1.2],
  [1e5, 0.2, 60, 0.2],
])('k %f, d %f, %f kg at %f m/s: as integrated in time', (stiffness, damping, mass, speed) => {
  const peak = contactPeak({ stiffness, damping }, mass, speed);
  const time = met(stiffness, damping, mass, speed);
  near(peak.force, time.force, 1e-6);
  near(peak.depth, time.depth, 1e-6);
});

test('undamped, all energy stands in the contact at the peak: ½·m·v² = 0.4·k·x^2.5', () => {
  const { force, depth } = contactPeak({ stiffness: 4e5, damping: 0 }, 10, 0.7);
  near(0.4 * 4e5 * depth ** 2.5, 0.5 * 10 * 0.49, 1e-12);
  near(force, 4e5 * depth ** 1.5, 1e-12);
});

test('little damping comes to the undamped peak, and force grows with v^1.2 there', () => {
  const none = contactPeak({ stiffness: 4e5, damping: 0 }, 10, 0.7);
  near(contactPeak({ stiffness: 4e5, damping: 1e-4 }, 10, 0.7).force, none.force, 1e-4);
  near(contactPeak({ stiffness: 4e5, damping: 0 }, 10, 1.4).force / none.force, 2 ** 1.2, 1e-12);
});

test('damping makes the peak earlier than the deepest point, and the contact less deep', () => {
  const damped = contactPeak({ stiffness: 4e5, damping: 2 }, 10, 0.7);
  expect(damped.force).toBeGreaterThan(4e5 * damped.depth ** 1.5);
  expect(damped.depth).toBeLessThan(contactPeak({ stiffness: 4e5, damping: 0 }, 10, 0.7).depth);
});
