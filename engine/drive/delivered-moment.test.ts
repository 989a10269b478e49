import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { dynamicBackDriveTorque } from './back-drive.ts';
import { deliveredMoment } from './delivered-moment.ts';
import { driveLoad } from './drive-load.ts';
import type { JointDrive } from './leg-drive.ts';
import { motor, transmission } from './test-motor.ts';

const drive: JointDrive = {
  motor,
  transmission: { ...transmission, outputInertia: 2e-3, outputViscous: 0.05, backDrivenEfficiency: 0.9 },
  currentLimit: 60,
  modulation: 'spaceVector',
  voltageMargin: 0.95,
  range: { from: rad(-1), to: rad(1) },
};
const sprung: JointDrive = {
  ...drive,
  parallelSpring: { stiffness: 80, equilibrium: rad(-0.1), engaged: { from: rad(-0.1), to: rad(1) } },
};
const value = (most: number) => fc.double({ min: -most, max: most, noNaN: true });

test('what driveLoad asks of the motor delivers the moment it was asked for', () => {
  fc.assert(
    fc.property(value(1), value(12), value(300), value(120), fc.boolean(), (q, dq, ddq, tau, spring) => {
      const one = (x: number) => Float64Array.of(x, x);
      const joint = { angle: one(q), velocity: one(dq), acceleration: one(ddq), moment: one(tau) };
      const of = spring ? sprung : drive;
      const { motorTorque } = driveLoad(of, joint, 44);
      return Math.abs(deliveredMoment(of, joint, motorTorque)[0] - tau) < 1e-9;
    }),
    { seed: 12 },
  );
});

test('an unpowered motor delivers the back-drive torque, against the motion, both ways', () => {
  for (const [velocity, acceleration] of [
    [3, 40],
    [0.2, 0],
    [5, -400],
  ] as const) {
    const needed = dynamicBackDriveTorque(drive.motor, drive.transmission, velocity, acceleration);
    for (const sign of [1, -1]) {
      const [got] = deliveredMoment(
        drive,
        {
          angle: Float64Array.of(0),
          velocity: Float64Array.of(sign * velocity),
          acceleration: Float64Array.of(sign * acceleration),
        },
        Float64Array.of(0),
      );
      expect(got).toBeCloseTo(-sign * needed, 10);
    }
  }
});
