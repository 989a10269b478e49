import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { currentLimitAt, largestCurrent } from './largest-current.ts';
import type { JointDrive } from './leg-drive.ts';
import { motor, near, transmission } from './test-motor.ts';

const drive: JointDrive = {
  motor,
  transmission,
  currentLimit: 70,
  modulation: 'spaceVector',
  voltageMargin: 1,
  range: { from: rad(-1), to: rad(1) },
};

test('the least of electronics, motor and magnets', () => {
  expect(largestCurrent(drive)).toBe(60);
  expect(largestCurrent({ ...drive, currentLimit: 50 })).toBe(50);
  expect(largestCurrent({ ...drive, motor: { ...motor, demagnetisationCurrent: 45 } })).toBe(45);
});

test('DRV-P10: a 2.6 A·h cell takes 0.26 A from 0 °C, 0.52 A from 5 °C, 1.3 A from 15 °C; below, its sheet says nothing', () => {
  const bands = [
    [0, 0.1],
    [5, 0.2],
    [15, 0.5],
  ].map(([celsius, share]) => ({ temperature: 273.15 + celsius!, current: 2.6 * share! }));
  const at = (celsius: number): number => currentLimitAt(bands, 273.15 + celsius);
  near(at(0), 0.26);
  near(at(4.9), 0.26);
  near(at(10), 0.52);
  near(at(25), 1.3);
  expect(at(-1)).toBeNaN();
  expect(currentLimitAt(5, 200)).toBe(5);
  // ten in series, two in parallel, full at 42 V
  near(42 * 2 * at(25), 109.2);
  near(42 * 2 * at(8), 43.68);
});
