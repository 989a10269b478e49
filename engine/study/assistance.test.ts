import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { dynamicBackDriveTorque } from '../drive/back-drive.ts';
import type { StrideDemand } from '../gait/demand-result.ts';
import { assistance } from './assistance.ts';
import { evaluateDesign, studyDemands } from './design.ts';
import type { StudyInput } from './study-input.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const demands = studyDemands(input);
const design = evaluateDesign(input, demands);
const joints = ['knee', 'ankle'] as const;

/** A drive that costs nothing: no inertia, no friction, no loss. */
function costless(study: StudyInput): StudyInput {
  const made = joints.map((joint) => {
    const drive = study.leg.joints[joint]!;
    const motor = { ...drive.motor, rotorInertia: 0, coulombDrag: 0, viscousDrag: 0 };
    const transmission = {
      ...drive.transmission,
      inputInertia: 0,
      outputInertia: 0,
      outputCoulomb: 0,
      outputViscous: 0,
      drivingEfficiency: 1,
      backDrivenEfficiency: 1,
    };
    return [joint, { ...drive, motor, transmission }];
  });
  return { ...study, leg: { ...study.leg, joints: Object.fromEntries(made) } };
}

test('a drive that costs nothing leaves 1 − share of moment and of work, and helps from the first newton metre', () => {
  const study = costless(input);
  for (const joint of joints) {
    const got = assistance(study, evaluateDesign(study, demands), joint, 0.3)!;
    expect(got.effort).toBeCloseTo(0.7, 12);
    expect(got.effortUnpowered).toBeCloseTo(1, 12);
    expect(got.breakEven).toBe(0);
    for (const { alone, wearer, unpowered } of got.tasks) {
      for (const key of ['peak', 'rms', 'positiveWork', 'negativeWork'] as const) {
        expect(wearer[key]).toBeCloseTo(0.7 * alone[key], 9);
        expect(unpowered[key]).toBeCloseTo(alone[key], 9);
      }
    }
  }
});

test('nobody powers it: the wearer gives the human moment and the back-drive torque, instant by instant', () => {
  for (const joint of joints) {
    const { tasks } = assistance(input, design, joint, 0)!;
    const { motor, transmission } = input.leg.joints[joint]!;
    for (const { id, left } of tasks) {
      const of = (demands[id] as StrideDemand).joints[joint]!;
      for (let i = 0; i < left.length; i += 11) {
        const sign = Math.sign(of.velocity[i]);
        if (sign === 0) continue;
        const drag =
          sign *
          dynamicBackDriveTorque(motor, transmission, sign * of.velocity[i], sign * of.acceleration[i]);
        expect(left[i]).toBeCloseTo(of.humanMoment[i] + drag, 9);
      }
    }
  }
});

test('break-even is where the effort is that of walking alone; a higher ratio must give more before it helps', () => {
  const breakEven = (factor: number): number => {
    const { ankle } = input.leg.joints;
    const study: StudyInput = {
      ...input,
      leg: {
        ...input.leg,
        joints: {
          ankle: {
            ...ankle!,
            transmission: { ...ankle!.transmission, ratio: factor * ankle!.transmission.ratio },
          },
        },
      },
    };
    const { breakEven: share } = assistance(study, evaluateDesign(study, demands), 'ankle', 0)!;
    if (share === null || share === 0) return share ?? 1;
    expect(assistance(study, evaluateDesign(study, demands), 'ankle', share)!.effort).toBeCloseTo(1, 9);
    return share;
  };
  const shares = [1, 2, 4].map(breakEven);
  expect(shares[2]).toBeGreaterThan(shares[1]!);
  expect(shares[2]).toBeGreaterThan(0);
});

test('the motor is asked for its share through the ratio, and the margin says whether it can', () => {
  const { tasks } = assistance(input, design, 'ankle', 0.5)!;
  const natural = tasks.find(({ id }) => id === 'walk-natural')!;
  expect(natural.peakMotorTorque).toBeCloseTo((0.5 * natural.alone.peak) / 22, 9);
  // 1.5·20·4.949e-3 N·m/A × 56.4 A
  expect(natural.torqueMargin).toBeCloseTo((1.5 * 20 * 4.949e-3 * 56.4) / natural.peakMotorTorque, 2);
});

test('a joint the leg does not drive has no assistance; tasks without moments are named', () => {
  const passive = { ...input, leg: { ...input.leg, joints: {} } };
  expect(assistance(passive, design, 'knee', 0.5)).toBeUndefined();
  const { leftOut } = assistance(input, design, 'knee', 0.5)!;
  expect(leftOut).toContain(demands['rise-from-chair']!.task.title);
});
