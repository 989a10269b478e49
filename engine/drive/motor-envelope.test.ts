import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { driveLoad } from './drive-load.ts';
import type { JointDrive } from './leg-drive.ts';
import { motorEnvelope } from './motor-envelope.ts';
import { motor, transmission } from './test-motor.ts';

const drive: JointDrive = {
  motor,
  transmission,
  currentLimit: 50,
  modulation: 'spaceVector',
  voltageMargin: 0.95,
  range: { from: rad(0), to: rad(2) },
};
const BUS = 36;

test.each([
  ['driving', 1],
  ['braking', -1],
] as const)(
  '%s, every point lies on the phase-voltage circle (ω_e·L·i)² + (R·i + ω_e·λ)² = V²',
  (part, sign) => {
    const points = motorEnvelope(drive, BUS)[part];
    // K_t = 1.5·14·0.007 = 0.147 N·m/A, linear: 50 A are 7.35 N·m
    expect(points[0]).toEqual({ speed: 0, torque: expect.closeTo(7.35, 12) });
    for (const { speed, torque } of points.slice(1)) {
      const current = (sign * torque) / 0.147;
      const electrical = speed * motor.polePairs;
      expect(
        Math.hypot(
          electrical * motor.inductanceQ * current,
          motor.resistance * current + electrical * motor.fluxLinkage,
        ),
      ).toBeCloseTo((0.95 * BUS) / Math.sqrt(3), 9);
    }
  },
);

test('both ends without current are the unloaded speed, V/(p·λ)', () => {
  const { driving, braking } = motorEnvelope(drive, BUS);
  const unloaded = (0.95 * BUS) / Math.sqrt(3) / (14 * 0.007);
  expect(driving.at(-1)).toEqual({ speed: expect.closeTo(unloaded, 9), torque: 0 });
  expect(braking.at(-1)).toEqual({ speed: expect.closeTo(unloaded, 9), torque: 0 });
});

// The margin that a whole stride finds is 1 for a motion along the line, whatever the ratio.
test('a joint that asks for a point of the line has a speed margin of one in `driveLoad`', () => {
  const { driving, braking } = motorEnvelope(drive, BUS);
  for (const [points, sign] of [
    [driving, 1],
    [braking, -1],
  ] as const)
    for (const { speed, torque } of points.slice(1, -1)) {
      const bare: JointDrive = {
        ...drive,
        motor: { ...motor, coulombDrag: 0, viscousDrag: 0 },
        transmission: {
          ...transmission,
          drivingEfficiency: 1,
          backDrivenEfficiency: 1,
          outputCoulomb: 0,
          ratio: 9,
        },
      };
      const constant = (x: number) => Float64Array.of(x, x);
      const load = driveLoad(
        bare,
        {
          angle: constant(0),
          velocity: constant(speed / 9),
          acceleration: constant(0),
          moment: constant(sign * torque * 9),
        },
        BUS,
      );
      expect(load.speedMargin).toBeCloseTo(1, 9);
    }
});
