import { expect, test } from 'vitest';
import type { LegSegments } from '../gait/stride.ts';
import type { JointDrive } from './leg-drive.ts';
import { lossless, lossy } from './test-drive.ts';
import { near } from './test-motor.ts';
import { limbInertia, PUBLISHED_BACK_DRIVE, TRANSPARENCY_LIMITS, transparency } from './transparency.ts';

const cut = (mass: number, inertia: number, length: number, x: number, z: number) => ({
  mass,
  inertia,
  length,
  centre: { x, z },
});
const segments: LegSegments = {
  thighLength: 0.42,
  thighPart: cut(1, 0, 0, 0, 0),
  shank: cut(2.9, 0.043, 0.43, 0.012, -0.165),
  foot: cut(1.1, 0.0065, 0, 0.045, -0.045),
  sole: [],
};

test('published shares are 6.17 % and 2.29 %, one on each side of our first threshold and both inside the second', () => {
  const shares = PUBLISHED_BACK_DRIVE.map(({ backDrive, torque }) => backDrive / torque);
  expect(shares.map((s) => (100 * s).toFixed(2))).toEqual(['6.17', '2.29']);
  const { transparent, fair } = TRANSPARENCY_LIMITS;
  expect(shares[1]).toBeLessThan(transparent.backdriveShare);
  expect(shares[0]).toBeGreaterThan(transparent.backdriveShare);
  expect(shares[0]).toBeLessThan(fair.backdriveShare);
});

test('inertia about the joint by the parallel-axis sum: shank and foot about the knee, the foot about the ankle', () => {
  near(
    limbInertia('knee', segments),
    0.043 + 2.9 * (0.012 ** 2 + 0.165 ** 2) + 0.0065 + 1.1 * (0.045 ** 2 + 0.475 ** 2),
    1e-12,
  );
  near(limbInertia('ankle', segments), 0.0065 + 1.1 * 2 * 0.045 ** 2, 1e-12);
});

test('shares by hand', () => {
  const { backdriveShare, inertiaShare } = transparency(lossy, 'knee', segments, 44);
  // linear motor, 60 A: K_t = 1.5·14·0.007
  const peak = 22 * 0.93 * (60 * 0.147 - 0.022) - 0.1;
  near(backdriveShare, ((22 * 0.03) / 0.93 + 0.12) / peak, 1e-9);
  near(inertiaShare, (22 ** 2 * 3e-4) / limbInertia('knee', segments), 1e-12);
});

test('the class is that of the worst figure, and a joint that no torque drives has none', () => {
  const limb = limbInertia('knee', segments);
  const peak = 22 * 60 * 0.147;
  // lossless but for the output's breakaway, which then is the whole of τ_bd; all inertia at the output
  const joint = (share: number, inertia: number): JointDrive => ({
    ...lossless,
    motor: { ...lossless.motor, rotorInertia: 0 },
    transmission: {
      ...lossless.transmission,
      outputBreakaway: share * peak,
      outputInertia: inertia * limb,
    },
  });
  const classOf = (share: number, inertia: number) =>
    transparency(joint(share, inertia), 'knee', segments, 44).class;
  expect(classOf(0.029, 0.99)).toBe('transparent');
  expect(classOf(0.031, 0.99)).toBe('fair');
  expect(classOf(0.029, 1.01)).toBe('fair');
  expect(classOf(0.101, 0.5)).toBe('opaque');
  expect(classOf(0.01, 4.01)).toBe('opaque');
  // the shares of the first, behind gears so soft that torque cannot follow a walk
  const soft = joint(0.029, 0.99);
  const sprung = {
    ...soft,
    transmission: { ...soft.transmission, torsionalStiffness: 5 },
  };
  const slow = transparency(sprung, 'knee', segments, 44);
  expect(slow.torque.frequency).toBeLessThan(TRANSPARENCY_LIMITS.fair.bandwidth);
  expect(slow.class).toBe('opaque');
  const stuck: JointDrive = { ...lossy, motor: { ...lossy.motor, coulombDrag: 99 } };
  expect(transparency(stuck, 'knee', segments, 44).class).toBeUndefined();
});
