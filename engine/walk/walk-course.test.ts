import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { walkPlan } from '../study/walk-plan.ts';
import { COURSE, COURSE_WIDTH, walkCourse } from './walk-course.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const plan = walkPlan(input, { speed: 1.1 });
if ('openBecause' in plan) throw new Error(plan.openBecause);
const { course } = plan.setup;

test('walks at two steps in turn find their courses again; a third makes its own', () => {
  const [coarse, fine] = [walkCourse(course, 1e-3), walkCourse(course, 5e-4)];
  expect(walkCourse(course, 1e-3)).toBe(coarse);
  expect(walkCourse(course, 5e-4)).toBe(fine);
  const third = walkCourse(course, 2e-3);
  expect([coarse.steps / third.steps, fine.steps / third.steps].map(Math.round)).toEqual([2, 4]);
});

test('the thigh’s rate and acceleration in the rows are the differences of its angle and rate', () => {
  const { table, steps, step } = walkCourse(course, 2.5e-4);
  const at = (row: number, place: number) => table[((row + steps) % steps) * COURSE_WIDTH + place]!;
  let [rate, acceleration] = [0, 0];
  for (let i = 0; i < steps; i++) {
    const off = (of: number, slope: number): number =>
      Math.abs((at(i + 1, of) - at(i - 1, of)) / (2 * step) - at(i, slope));
    rate = Math.max(rate, off(COURSE.thigh, COURSE.thighRate));
    acceleration = Math.max(acceleration, off(COURSE.thighRate, COURSE.thighAcceleration));
  }
  // a central difference of 24 harmonics misses (ω·dt)²/6 of each: 0.1 % of the 24th
  expect(rate).toBeLessThan(1e-3);
  expect(acceleration).toBeLessThan(0.05);
});
