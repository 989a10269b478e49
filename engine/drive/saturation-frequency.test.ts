import { expect, test } from 'vitest';
import { backEmf, saturationFrequency, torqueSlew } from './saturation-frequency.ts';
import { motor, near } from './test-motor.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

const V = phaseVoltageLimit(36, { modulation: 'spaceVector', voltageMargin: 0.95 });

test('DRV-B3 current that the bus lets swing, and slew', () => {
  near(saturationFrequency(motor, V, 40, 0), 861.398);
  near(saturationFrequency(motor, V, 80, 0), 412.905);
  near(saturationFrequency(motor, V, 40, 10), 406.951);
  near(torqueSlew(motor, V, 40, 10), 10690.8);
});

test('DRV-B4 published inputs of a hip drive: R/(2πL) is a pole, not a bound', () => {
  const inductanceQ = 1.04 / (2 * Math.PI * 310);
  near(inductanceQ, 0.533939e-3);
  near(saturationFrequency({ ...motor, resistance: 1.04, inductanceQ }, 48 / Math.sqrt(3), 10, 0), 765.681);
});

test('the voltage of that current is the limit: R and ωL at a right angle', () => {
  const w = 2 * Math.PI * saturationFrequency(motor, V, 30, 4);
  near(Math.hypot(motor.resistance, w * motor.inductanceQ) * 30, V - 4, 1e-12);
});

test('a steady current that the voltage does not hold', () => {
  expect(saturationFrequency(motor, V, 300, 0)).toBeNaN();
  expect(torqueSlew(motor, V, 300, 0)).toBeLessThan(0);
  near(backEmf(motor, speedLimit(motor, V, 0)), V, 1e-12);
});
