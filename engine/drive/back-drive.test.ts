import { test } from 'vitest';
import { breakawayTorque, dynamicBackDriveTorque } from './back-drive.ts';
import { reflectedInertia } from './reflected-inertia.ts';
import { motor, near, transmission } from './test-motor.ts';

test('DRV-R9 back-drive torque: inertia and motor drag pass the mesh', () => {
  near(reflectedInertia(motor, transmission), 0.0768);
  near(breakawayTorque(motor, transmission), 0.636129);
  near(dynamicBackDriveTorque(motor, transmission, 3, 40), 3.906, 2e-4);
  // second route: power. What the hand gives = stored in the rotor + motor drag + mesh loss + output friction
  const shaft = 3e-4 * 16 * 40 + 0.022 + 1.5e-4 * 16 * 3;
  const mesh = (shaft * 16 * 3) / 0.93;
  near(dynamicBackDriveTorque(motor, transmission, 3, 40) * 3, mesh + 0.1 * 3, 1e-12);
  // slowing down the rotor gives back only what the mesh lets through
  const slowing = 3e-4 * 16 * -40 + 0.022 + 1.5e-4 * 16 * 3;
  near(dynamicBackDriveTorque(motor, transmission, 3, -40), 16 * slowing * 0.93 + 0.1, 1e-12);
});

test('DRV-R10 loss proportional to load: η_b = 2 − 1/η_f', () => {
  for (const [forward, back] of [
    [0.9, 0.888889],
    [0.8, 0.75],
  ] as const)
    near(2 - 1 / forward, back);
});
