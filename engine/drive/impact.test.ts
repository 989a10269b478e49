import { test } from 'vitest';
import { effectiveMass, hardStopTorque, impact } from './impact.ts';
import { near } from './test-motor.ts';

test('DRV-R11 effective mass and impact', () => {
  const m = effectiveMass(0.12, 0.0768, 0.4);
  near(m, 1.23);
  near(effectiveMass(0.12, 0, 0.4), 0.75);
  near(impact(m, Number.POSITIVE_INFINITY, 8000, 1.2).force, 119.036);
  near(impact(0.75, Number.POSITIVE_INFINITY, 8000, 1.2).force, 92.952);
  near(impact(m, 4, 8000, 1.2).force, 104.102);
  near(impact(m, Number.POSITIVE_INFINITY, 8000, 1.2).time, 19.477e-3);
});

test('DRV-R12 hard stop: the rotor’s energy in the gears', () => {
  const torque = hardStopTorque(900, 0.0768, 3);
  near(torque, 24.9415);
  near(torque ** 2 / (2 * 900), 0.3456);
  near(torque ** 2 / (2 * 900), 0.5 * 0.0768 * 9, 1e-12);
});
