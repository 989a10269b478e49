import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { driveFigures } from './drive-figures.ts';
import type { JointDrive } from './leg-drive.ts';
import { drivenTorque, peaksLoad } from './peaks-load.ts';
import { motor, near, transmission } from './test-motor.ts';

const drive: JointDrive = {
  motor,
  transmission,
  currentLimit: 50,
  modulation: 'spaceVector',
  voltageMargin: 0.95,
  range: { from: rad(0), to: rad(1) },
};
// By hand: 16·0.93·(0.147·50 − 0.022) − 0.1 = 108.9406 N·m; 0.95·36/√3/(14·0.007)/16 = 12.5927 rad/s
const TORQUE = 108.94064;
const SPEED = 12.592716;

test('margins of published peaks are ranges, worst at the most they may ask', () => {
  near(drivenTorque(drive), TORQUE, 1e-7);
  const got = peaksLoad(drive, { moment: { low: 40, high: 120 }, speed: { low: 5, high: 10 } }, 36);
  near(got.torqueMargin!.low, TORQUE / 120, 1e-7);
  near(got.torqueMargin!.high, TORQUE / 40, 1e-7);
  near(got.speedMargin!.low, SPEED / 10, 1e-7);
  near(got.speedMargin!.high, SPEED / 5, 1e-7);
  near(driveFigures(drive, 36).unloadedSpeed, SPEED, 1e-7);
});

test('what is not published has no margin; a range through zero asks for nothing at its easy end', () => {
  expect(peaksLoad(drive, {}, 36)).toEqual({});
  const through = peaksLoad(drive, { moment: { low: -90, high: 20 } }, 36);
  expect(through.torqueMargin!.high).toBe(Number.POSITIVE_INFINITY);
  near(through.torqueMargin!.low, TORQUE / 90, 1e-7);
});
