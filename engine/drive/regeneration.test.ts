import { expect, test } from 'vitest';
import { regenerationLimit } from './regeneration.ts';
import { near } from './test-motor.ts';

/** W at the bus while braking: mechanical power taken, less copper. */
const atBus = (km: number, speed: number, torque: number): number => -torque * speed + (torque / km) ** 2;

test('DRV-P4: K_m 0.41 at 120 rad/s returns at most 605 W, at 10.1 N·m, and nothing at 20.2 N·m', () => {
  const limit = regenerationLimit(0.41, 120);
  near(limit.power, 605.16);
  near(limit.torque, 10.086);
  near(limit.nothing, 20.172);
  near(atBus(0.41, 120, 3), -306.46);
});

test('no torque returns more: searched', () => {
  const { power, torque, nothing } = regenerationLimit(0.3, 55);
  let most = 0;
  let at = 0;
  for (let tau = 0; tau < 2 * nothing; tau += nothing / 4000) {
    const returned = -atBus(0.3, 55, tau);
    if (returned > most) [most, at] = [returned, tau];
  }
  near(most, power, 1e-6);
  near(at, torque, 1e-3);
  expect(atBus(0.3, 55, nothing)).toBeCloseTo(0, 12);
});

test('at standstill nothing returns', () => {
  expect(regenerationLimit(0.41, 0)).toEqual({ power: 0, torque: 0, nothing: 0 });
});
