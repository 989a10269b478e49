import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import type { JointDrive } from './leg-drive.ts';
import { torqueOf } from './motor-torque.ts';
import { lineReach, positionReach } from './position-reach.ts';
import { motor, near, transmission } from './test-motor.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

test('DRV-B8 straight line: both limits, torque alone, speed alone', () => {
  const reach = lineReach(0.1968, 120, 9, 0.1);
  near(reach.frequency, 10.3391);
  near(reach.byTorque, 12.4279);
  near(reach.bySpeed, 14.3239);
});

test('at that frequency the swing just touches the line, at one instant', () => {
  const w = 2 * Math.PI * lineReach(0.1968, 120, 9, 0.1).frequency;
  let most = 0;
  for (let k = 0; k <= 10_000; k++) {
    const phase = (Math.PI * k) / 20_000;
    most = Math.max(most, (0.1 * w * w * 0.1968 * Math.sin(phase)) / 120 + (0.1 * w * Math.cos(phase)) / 9);
  }
  near(most, 1, 1e-7);
});

/** Nothing lost, nothing saturates. */
const ideal: JointDrive = {
  motor: { ...motor, coulombDrag: 0, viscousDrag: 0 },
  transmission: { ...transmission, drivingEfficiency: 1, backDrivenEfficiency: 1, outputCoulomb: 0 },
  currentLimit: 40,
  modulation: 'spaceVector',
  voltageMargin: 1,
  range: { from: rad(-1), to: rad(1) },
};

test('a large bus leaves torque alone as the limit, and that is the line’s', () => {
  const reach = positionReach(ideal, 5000, 0.12, 0.1);
  expect(reach.limitedBy).toBe('torque');
  near(reach.frequency, reach.line.byTorque, 1e-6);
  near(
    reach.line.byTorque,
    Math.sqrt((16 * torqueOf(motor, 40)) / (0.1 * (0.12 + 0.0768))) / (2 * Math.PI),
    1e-12,
  );
});

test('a wide swing is limited by speed, which needs a little current on the way: below the unloaded limit', () => {
  const reach = positionReach(ideal, 36, 0.12, 1.5);
  expect(reach.limitedBy).toBe('speed');
  expect(reach.frequency).toBeLessThan(reach.line.bySpeed);
  // at the limit some instant stands on the voltage circle: v_q and v_d by hand
  const w = 2 * Math.PI * reach.frequency;
  let volts = 0;
  for (let k = 0; k < 20_000; k++) {
    const phase = (2 * Math.PI * k) / 20_000;
    const current = (-1.5 * w * w * Math.sin(phase) * (0.12 + 0.0768)) / 16 / (1.5 * 14 * 0.007);
    const electrical = 14 * 16 * 1.5 * w * Math.cos(phase);
    // driving and braking quadrants alike stand in the period
    volts = Math.max(volts, Math.hypot(0.08 * current + 0.007 * electrical, electrical * 90e-6 * current));
  }
  near(volts, phaseVoltageLimit(36, ideal), 1e-3);
});

test('losses slow it, and a drive that friction stops has no frequency', () => {
  const lossy = { ...ideal, motor, transmission };
  expect(positionReach(lossy, 36, 0.12, 0.1).frequency).toBeLessThan(
    positionReach(ideal, 36, 0.12, 0.1).frequency,
  );
  const stuck = { ...ideal, transmission: { ...ideal.transmission, outputCoulomb: 1e4 } };
  expect(positionReach(stuck, 36, 0.12, 0.1).frequency).toBeNaN();
});

test('a current limit lets the drive do more than the straight line, and less where resistance is the limit', () => {
  const amplitude = 0.2;
  const cut = positionReach(ideal, 36, 0.12, amplitude);
  expect(cut.frequency).toBeGreaterThan(cut.line.frequency);
  // so much current that the winding’s own resistance ends it; the inductance then bends the line inwards
  const strong: JointDrive = {
    ...ideal,
    currentLimit: 1e4,
    motor: { ...ideal.motor, peakCurrent: 1e4, inductanceQ: 4e-4 },
  };
  const bent = positionReach(strong, 36, 0.12, amplitude);
  expect(bent.frequency).toBeLessThan(bent.line.frequency);
  near(
    bent.line.bySpeed,
    speedLimit(motor, phaseVoltageLimit(36, strong), 0) / 16 / (2 * Math.PI * amplitude),
    1e-12,
  );
});
