import { describe, expect, test } from 'vitest';
import { GRAVITY } from '../gait/inverse-dynamics.ts';
import type { StrideCurve } from '../gait/stride.ts';
import { hipCourse, hipCourseAt } from './hip-course.ts';
import { type Sole, soleOf } from './sole-contact.ts';

const series = (mean: number, cos: number[] = []): StrideCurve => ({
  form: 'series',
  mean,
  drift: 0,
  cos,
  sin: cos.map(() => 0),
});
const still = (x: number) => series(x);
const SEGMENTS = {
  thighLength: 0.4,
  shank: { length: 0.43, mass: 2, centre: { x: 0, z: -0.2 }, inertia: 0.03 },
};
const point = (x: number, stiffness: number): Sole =>
  soleOf([{ x, z: -0.08 }], { heelStiffness: stiffness, toeStiffness: stiffness, damping: 1 });
const height = (course: ReturnType<typeof hipCourse>, s: number): number => {
  const out = new Float64Array(6);
  hipCourseAt(course, s, 1, out);
  return out[0]!;
};
/** Thigh as a pendulum with the foot held level: it goes forward. */
const PENDULUM = { thigh: series(0, [0.4]), knee: still(0), ankle: series(0, [-0.4]) };
const STIFF = point(0, 1e12);

describe('hip course', () => {
  test('a straight leg that stands on one point is shorter by how far that point sinks: (F/k)^(2/3)', () => {
    const angles = { thigh: still(0), knee: still(0), ankle: still(0) };
    const body = { force: () => 400, weight: 800, speed: 1 };
    const course = hipCourse(angles, 0.62, SEGMENTS, point(0, 4e5), body);
    // 400 N on 4e5 N/m^1.5: 10 mm to the last digit, since 0.01^1.5 is 1e-3
    expect(course.height[0]).toBeCloseTo(0.4 + 0.43 + 0.08 - 0.01, 12);
    expect(course.heightMisfit).toBeLessThan(1e-12);
    expect(course.strideLength).toBeCloseTo(0, 12);
  });

  test('points share a force: two side by side sink as one of twice the stiffness', () => {
    const angles = { thigh: still(0.1), knee: still(0.05), ankle: still(-0.05) };
    const body = { force: () => 600, weight: 1200, speed: 1 };
    const two = soleOf(
      [
        { x: 0.05, z: -0.08 },
        { x: 0.05, z: -0.08 },
      ],
      { heelStiffness: 3e5, toeStiffness: 3e5, damping: 1 },
    );
    expect(hipCourse(angles, 0.62, SEGMENTS, two, body).height[0]).toBeCloseTo(
      hipCourse(angles, 0.62, SEGMENTS, point(0.05, 6e5), body).height[0]!,
      12,
    );
  });

  test('what is pressed stands still: the foot of a rigid pendulum goes back as fast as the hip goes on', () => {
    const body = { force: () => 400, weight: 800, speed: 1 };
    const course = hipCourse(PENDULUM, 0.62, SEGMENTS, STIFF, body);
    const out = new Float64Array(6);
    // x of the ankle from the hip is 0.83·sin θ, by difference over the stance
    const x = (s: number): number => 0.83 * Math.sin(0.4 * Math.cos(2 * Math.PI * s));
    for (const s of [0.15, 0.25, 0.35]) {
      hipCourseAt(course, s, 1, out);
      const back = -(x(s + 1e-5) - x(s - 1e-5)) / 2e-5;
      expect(Math.abs(out[4]! - back)).toBeLessThan(course.paceMisfit + 1e-6);
    }
  });

  test('half of how it moves is what the force of both legs gives a body, integrated twice', () => {
    const [weight, speed] = [800, 1.3];
    const wave = (s: number): number => 0.3 * Math.cos(4 * Math.PI * s) + 0.1 * Math.sin(8 * Math.PI * s);
    const even = hipCourse(PENDULUM, 0.62, SEGMENTS, STIFF, { force: () => weight / 2, weight, speed });
    const course = hipCourse(PENDULUM, 0.62, SEGMENTS, STIFF, {
      force: (s) => (weight / 2) * (1 + wave(s)),
      weight,
      speed,
    });
    // second route: z̈ = g·(F/W − 1) by Störmer's rule over half a stride, which must come back to where it began
    const time = course.strideLength / speed;
    const N = 20000;
    const dt = time / 2 / N;
    const z = new Float64Array(N + 1);
    z[1] = (dt * dt * GRAVITY * wave(0)) / 2;
    for (let i = 1; i < N; i++) z[i + 1] = 2 * z[i]! - z[i - 1]! + dt * dt * GRAVITY * wave(i / N / 2);
    const slope = z[N]! / N;
    const moved = (s: number): number => height(course, s) - height(even, s);
    for (const i of [2000, 5000, 9000, 16000])
      expect(moved(i / N / 2) - moved(0)).toBeCloseTo(0.5 * (z[i]! - slope * i), 6);
    expect(course.height[0]).toBeCloseTo(even.height[0]!, 6);
  });
});
