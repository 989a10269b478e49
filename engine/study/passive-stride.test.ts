import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { curveAt } from '../gait/curve.ts';
import { legPose } from '../gait/pose.ts';
import { passiveStride } from './passive-stride.ts';
import { usersAnkle } from './users-ankle.ts';
import { walkStride } from './walk-stride.ts';
import { wearersStride } from './walk-wearer.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname, {
  leg: 'passive',
});
const { segments } = input.leg;

test.each([1.0, 1.4])(
  'at %s m/s: the ankle stays where it was as seen from the hip, the knee straight while loaded, its swing untouched',
  (speed) => {
    const found = walkStride(input, speed);
    if ('openBecause' in found) throw new Error(found.openBecause);
    const before = found.stride;
    const { stride: after } = passiveStride(before, speed, segments);
    for (let p = 0; p < 100; p += 0.5) {
      const [t, k, u, n] = [before, after].flatMap(({ thigh, joints }) => [
        curveAt(thigh!, p).value,
        curveAt(joints.knee!.angle, p).value,
      ]) as [number, number, number, number];
      const [was, is] = [legPose(segments, t, k, 0).ankle, legPose(segments, u, n, 0).ankle];
      expect(Math.abs(Math.atan2(was.x, -was.z) - Math.atan2(is.x, -is.z))).toBeLessThan(1e-9);
      if (p <= 30) expect(n).toBeCloseTo(0, 9);
      if (p > 100 * before.stance && p < 90) {
        expect(u).toBeCloseTo(t, 12);
        expect(n).toBeCloseTo(k, 12);
      }
    }
  },
);

/**
 * Two accounts that know nothing of each other: how long these angles take on a leg of these lengths for a stride at that speed without
 * slipping, and how long people of that stature were measured to take.
 */
test.each([0.9, 1.0, 1.2, 1.4])(
  'at %s m/s the stride takes the time that was measured of people',
  (speed) => {
    const on = wearersStride(input, { speed });
    if ('openBecause' in on) throw new Error(on.openBecause);
    expect(Math.abs(on.walked.strideTime / on.regressionTime - 1)).toBeLessThan(0.01);
  },
);

test('the users’ ankle: largest as printed, between two speeds in proportion, beyond them of the nearest and said so', () => {
  const most = (speed: number): number =>
    Math.max(...Array.from({ length: 201 }, (_, i) => curveAt(usersAnkle(speed).angle, i / 2).value)) *
    (180 / Math.PI);
  // Hood, Ishmael, Gunnell, Foreman & Lenzi, Scientific Data 7 (2020) 150: mean of the largest of each, which the largest of the mean is below
  for (const [speed, degrees] of [
    [0.6, 13.8],
    [1.0, 15.9],
    [1.4, 17.4],
  ] as const) {
    expect(most(speed)).toBeLessThan(degrees + 0.1);
    expect(most(speed)).toBeGreaterThan(degrees - 0.6);
  }
  const at = (speed: number): number => curveAt(usersAnkle(speed).angle, 44).value;
  expect(at(1.1)).toBeCloseTo((at(1.0) + at(1.2)) / 2, 12);
  expect(usersAnkle(1.1).published).toBe(true);
  expect([usersAnkle(1.5).published, at(1.5)]).toEqual([false, at(1.4)]);
  expect([usersAnkle(0.5).published, at(0.5)]).toEqual([false, at(0.6)]);
});
