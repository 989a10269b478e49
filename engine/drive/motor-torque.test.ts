import { expect, test } from 'vitest';
import {
  currentFor,
  fluxFactor,
  motorConstantFactor,
  resistanceFactor,
  runningDrag,
  torqueOf,
} from './motor-torque.ts';
import { motor, near } from './test-motor.ts';

test('DRV-M8 temperature: 0.00393 per kelvin from 20 to 120 °C, a printed magnet grade, and K_m hot', () => {
  near(resistanceFactor(motor, 393.15), 1.393);
  near(resistanceFactor(motor, 393.15), (234.5 + 120) / 254.5, 1e-4); // the other way copper is printed
  // Maker's table, N48SH: B_r 13.82 → 11.69 kG from 20 to 150 °C, printed −0.119 %/K
  const alpha = (11.69 / 13.82 - 1) / 130;
  near(alpha, -0.0011856);
  near(fluxFactor({ ...motor, magnetCoefficient: alpha }, 423.15), 11.69 / 13.82, 1e-12);
  near((6.29 / 21.06 - 1) / 130, -0.0053948);
  near(motorConstantFactor(motor, 393.15, 353.15), 0.786271);
});

test('DRV-M9 saturation forward and back; beyond it no current gives the torque', () => {
  const saturating = { ...motor, saturationCurrent: 90 };
  near(torqueOf(saturating, 60), 7.33868);
  near(currentFor(saturating, 6), 45.7968);
  near(torqueOf(saturating, currentFor(saturating, 11)), 11, 1e-12);
  expect(currentFor(saturating, 0.147 * 90)).toBeNaN();
});

test('DRV-M10 no-load drag', () => {
  const light = { ...motor, coulombDrag: 0.02, viscousDrag: 1.2e-4 };
  near(runningDrag(light, 200), 0.044);
  near(runningDrag(light, -200) * 200, 8.8);
  near(runningDrag(light, 200) / 0.147, 0.29932);
});
