import { expect, test } from 'vitest';
import { taskTrajectory, trajectoryForTask } from './task-trajectory.ts';
import { KNEE_12, pointOf } from './test-trajectory.ts';
import { periodicTrajectory } from './trajectory.ts';

/** The knee at a speed, 12 steps, degrees. */
const kneeAt = (v: number) =>
  KNEE_12.map((y, k) => y * (0.9 + 0.1 * v) + 4 * (v - 1) * Math.sin((2 * Math.PI * k) / 12));
const SPEEDS = [0.7, 1, 1.3];
const fitted = taskTrajectory(
  SPEEDS.map((v) => ({ task: [v], trajectory: periodicTrajectory(kneeAt(v), 3) })),
  [1],
);

// The whole problem at once, 36 rows by 14 columns, solved independently with numpy.linalg.lstsq.
test('CTL-TR-5 three speeds: the constant and the linear part, and between the speeds', () => {
  const constant = [0, 23.9166667, -3.62638837, -19.420617, -13.1666667, 7.79422863, 0.5, 3];
  const linear = [0, 2.3916667, -0.36263884, 2.0579383, -1.3166667, 0.77942286, 0.05, 0.3];
  constant.forEach((c, k) => {
    expect(fitted.terms[0]![k]).toBeCloseTo(c, 6);
  });
  linear.forEach((c, k) => {
    expect(fitted.terms[1]![k]).toBeCloseTo(c, 6);
  });
  const squares = SPEEDS.flatMap((v) => {
    const { trajectory } = trajectoryForTask(fitted, [v]);
    return kneeAt(v)
      .slice(0, 12)
      .map((y, k) => (pointOf(trajectory, k / 12).value - y) ** 2);
  });
  expect(Math.sqrt(squares.reduce((a, b) => a + b, 0) / 36)).toBeCloseTo(0.2714443, 7);
  for (const [v, s, wanted] of [
    [0.85, 0.6, 38.6800021],
    [1.3, 0.75, 60.0890689],
    [1.5, 0.75, 60.4791479],
  ] as const)
    expect(pointOf(trajectoryForTask(fitted, [v]).trajectory, s).value).toBeCloseTo(wanted, 6);
});

test('outside the fitted speeds says so', () => {
  expect(trajectoryForTask(fitted, [1.3]).outside).toEqual([]);
  expect(trajectoryForTask(fitted, [1.5]).outside).toEqual([0]);
});

test('speed and incline are told apart where the tasks do, and refused where they do not', () => {
  const at = (v: number, g: number) => ({
    task: [v, g],
    trajectory: Float64Array.of(0, 10 + 3 * v - 40 * g, 2 * v, 5 * g),
  });
  const both = taskTrajectory([at(0.8, 0), at(1.2, 0), at(1, 0.1), at(1.1, -0.05)], [1, 0]);
  const { trajectory } = trajectoryForTask(both, [0.9, 0.05]);
  at(0.9, 0.05).trajectory.forEach((c, k) => {
    expect(trajectory[k]).toBeCloseTo(c, 9);
  });
  expect(() => taskTrajectory([at(0.8, 0.08), at(1.2, 0.12), at(1, 0.1)], [1, 0.1])).toThrow(
    'the columns are not independent',
  );
});
