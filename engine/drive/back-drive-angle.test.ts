import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { breakawayTorque, dynamicBackDriveTorque } from './back-drive.ts';
import { backDriveOverAngle, motorBreakaway } from './back-drive-angle.ts';
import type { JointDrive } from './leg-drive.ts';
import { lossy } from './test-drive.ts';
import { near } from './test-motor.ts';
import { unpoweredBrake } from './unpowered-brake.ts';

/** A third of the breakaway is cogging, 84 periods a turn. */
const notched: JointDrive = { ...lossy, motor: { ...lossy.motor, cogging: { amplitude: 0.01, order: 84 } } };

test('the largest to start is breakaway, the mean is less by the cogging, both ways', () => {
  const over = backDriveOverAngle(notched, 'open', 0, 8);
  expect(over.angle).toHaveLength(8);
  for (const way of [over.flexion, over.extension])
    for (let i = 0; i < 8; i++) {
      near(way.max[i], breakawayTorque(notched.motor, notched.transmission), 1e-12);
      near(way.mean[i], (22 * 0.02) / 0.93 + 0.12, 1e-12);
    }
  near(over.coggingPeriod, (2 * Math.PI) / 84 / 22, 1e-12);
});

test('a notch deeper than friction: second route, the mean by fine integration over one period', () => {
  const deep: JointDrive = {
    ...notched,
    motor: { ...notched.motor, cogging: { amplitude: 0.02, order: 84 } },
    transmission: { ...notched.transmission, drivingEfficiency: 0.8 },
  };
  let mean = 0;
  for (let k = 0; k < 1e5; k++) {
    const T = 0.01 + 0.02 * Math.sin((2 * Math.PI * (k + 0.5)) / 1e5);
    mean += (22 * (T > 0 ? T / 0.93 : T * 0.8)) / 1e5;
  }
  near(backDriveOverAngle(deep, 'open', 0, 8).flexion.mean[3], mean + 0.12, 5e-3);
});

test('moving: open is the back-drive torque, shorted adds the short, the largest the cogging', () => {
  near(
    backDriveOverAngle(lossy, 'open', 3, 8).flexion.mean[0],
    dynamicBackDriveTorque(lossy.motor, lossy.transmission, 3, 0),
    1e-12,
  );
  const shorted = backDriveOverAngle(notched, 0.72, 3, 8).extension;
  near(shorted.mean[0], unpoweredBrake(lossy, 0.72, 3), 1e-12);
  near(shorted.max[0] - shorted.mean[0], (22 * 0.01) / 0.93, 1e-9);
});

test('a parallel spring helps one way by what it costs the other, and only where it is engaged', () => {
  const sprung: JointDrive = {
    ...lossy,
    parallelSpring: { stiffness: 20, equilibrium: rad(0.5), engaged: { from: rad(0), to: rad(1) } },
  };
  const over = backDriveOverAngle(sprung, 'open', 0, 9);
  const plain = backDriveOverAngle(lossy, 'open', 0, 9);
  over.angle.forEach((a, i) => {
    near(over.flexion.max[i] + over.extension.max[i], 2 * plain.flexion.max[i], 1e-12);
    const spring = a <= 1 ? 20 * (a - 0.5) : 0;
    expect(over.flexion.max[i] - plain.flexion.max[i]).toBeCloseTo(spring, 12);
  });
});

test('from the motor’s side the mesh costs the output’s breakaway, not the motor’s', () => {
  near(motorBreakaway(lossy.motor, lossy.transmission), 0.03 + 0.12 / (22 * 0.93), 1e-12);
});
