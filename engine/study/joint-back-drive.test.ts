import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { evaluateDesign } from './design.ts';
import { jointBackDrive } from './joint-back-drive.ts';
import { metricCatalogue } from './metrics.ts';
import type { StudyInput } from './study-input.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const design = evaluateDesign(input);
const withMotor = (more: object): StudyInput => {
  const knee = input.leg.joints.knee!;
  return {
    ...input,
    leg: {
      ...input.leg,
      joints: { ...input.leg.joints, knee: { ...knee, motor: { ...knee.motor, ...more } } },
    },
  };
};

test('the demo knee by hand, from the numbers its file prints', () => {
  const drive = jointBackDrive(input, 'knee');
  if ('openBecause' in drive) throw new Error(drive.openBecause);
  expect(drive.breakaway.angle.length).toBeGreaterThanOrEqual(8);
  expect(drive.breakaway.flexion.max[4]).toBeCloseTo((22 * 0.05) / 0.935 + 0.1, 9);
  expect(drive.moving.open.extension.mean[4]).toBeCloseTo((22 * (0.05 + 1.2e-4 * 66)) / 0.935 + 0.1, 9);
  const w = 20 * 22 * 3;
  const shortOf = (R: number) => (1.5 * R * ((w * 4.949e-3) / Math.hypot(R, w * 49.07e-6)) ** 2) / 66;
  const { open, shorted, powerLost } = drive.moving;
  expect(shorted.flexion.mean[0]! - open.flexion.mean[0]!).toBeCloseTo((22 * shortOf(65.79e-3)) / 0.935, 9);
  expect(powerLost!.over.flexion.mean[0]! - open.flexion.mean[0]!).toBeCloseTo(
    (22 * shortOf(0.7 + 65.79e-3)) / 0.935,
    9,
  );
  expect(drive.start.torque).toBeCloseTo(0.05 + 0.1 / (22 * 0.94), 9);
  expect(drive.start.current).toBeCloseTo(drive.start.torque / (1.5 * 20 * 4.949e-3), 9);
});

test('shares of the ledger by hand', () => {
  const of = (metric: string) => metricCatalogue[metric]!.value(input, design, 'knee', undefined);
  const peak = 22 * 0.94 * (1.5 * 20 * 4.949e-3 * 56.4 - 0.05) - 0.1;
  expect(of('backdriveShare')).toMatchObject({
    value: expect.closeTo(((22 * 0.05) / 0.935 + 0.1) / peak, 9),
  });
  const limb = 0.043 + 2.9 * (0.012 ** 2 + 0.165 ** 2) + 0.0065 + 1.1 * (0.045 ** 2 + 0.475 ** 2);
  expect(of('inertiaShare')).toMatchObject({ value: expect.closeTo((22 ** 2 * 2.348e-4) / limb, 9) });
});

test('cogging above the breakaway that holds it is a fault of the file, told as a reason', () => {
  expect(jointBackDrive(withMotor({ cogging: { amplitude: 0.08, order: 120 } }), 'knee')).toEqual({
    openBecause:
      'the knee motor’s cogging of 0.08 N·m is more than its `breakawayDrag` of 0.05 N·m, which holds cogging and friction together: correct one of them',
  });
});
