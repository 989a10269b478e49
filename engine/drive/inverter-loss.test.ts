import { expect, test } from 'vitest';
import {
  type Bridge,
  conductionLoss,
  deadTimeLoss,
  inverterLoss,
  switchingPerVolt,
} from './inverter-loss.ts';
import { near } from './test-motor.ts';

const inverter: Bridge = {
  switchingFrequency: 20e3,
  onResistance: 3e-3,
  switchingTime: 60e-9,
  quiescentPower: 0,
  deadTime: { time: 200e-9, diodeVoltage: 0.8 },
};
const peak = 25 * Math.SQRT2;

test('DRV-P1: 25 A rms on 36 V loses 5.625 + 1.459 + 0.432 W', () => {
  near(conductionLoss(inverter, peak), 5.625);
  near(36 * switchingPerVolt(inverter, peak), 1.45851);
  near(deadTimeLoss(inverter, peak), 0.432152);
  near(inverterLoss(inverter, peak, 36), 7.51566);
});

test('the same by adding up one electrical turn of three sinusoidal phases, pulse by pulse', () => {
  // every phase switches on and off once a carrier period; voltage and current cross linearly, so each edge takes ½·V·|i|·t
  const n = 3600;
  let sum = 0;
  for (let j = 0; j < n; j++)
    for (let k = 0; k < 3; k++) {
      const i = peak * Math.cos((2 * Math.PI * (j + 0.5)) / n - (2 * Math.PI * k) / 3);
      sum += 3e-3 * i * i + 20e3 * (0.5 * 36 * Math.abs(i) * 60e-9 + 2 * 0.8 * Math.abs(i) * 200e-9);
    }
  near(inverterLoss(inverter, peak, 36), sum / n, 1e-6);
});

test('idle, only logic and gates are left; without a dead time in the file none is invented', () => {
  const { deadTime: _, ...plain } = inverter;
  expect(inverterLoss({ ...plain, quiescentPower: 2 }, 0, 48)).toBe(2);
  expect(deadTimeLoss(plain, peak)).toBe(0);
});

test('the sign of the current does not matter', () => {
  expect(inverterLoss(inverter, -peak, 36)).toBe(inverterLoss(inverter, peak, 36));
});
