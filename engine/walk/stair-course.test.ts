import { describe, expect, test } from 'vitest';
import type { StrideCurve } from '../gait/stride.ts';
import { soleOf } from './sole-contact.ts';
import { type StairHip, stairCourse, stairHip, stairHipAt, treadsUnder } from './stair-course.ts';
import { terrainOf } from './terrain.ts';
import { COURSE, COURSE_WIDTH } from './walk-course.ts';

const RISER = 0.17;
const LENGTH = 0.6;
const [THIGH, SHANK, HEEL] = [0.4, 0.42, 0.08];
const segments = {
  thighLength: THIGH,
  thighPart: { length: THIGH, mass: 1, centre: { x: 0, z: -0.3 }, inertia: 0.01 },
  shank: { length: SHANK, mass: 3, centre: { x: 0, z: -0.2 }, inertia: 0.04 },
  foot: { length: 0, mass: 1, centre: { x: 0.03, z: -0.04 }, inertia: 0.004 },
  sole: [-0.05, 0, 0.1].map((x) => ({ x, z: -HEEL })),
};
// so stiff that it sinks by some micrometres
const sole = soleOf(segments.sole, { heelStiffness: 1e12, toeStiffness: 1e12, damping: 0 });
const series = (mean: number, cos: number, sin: number): StrideCurve => ({
  form: 'series',
  mean,
  drift: 0,
  cos: [cos],
  sin: [sin],
});
// the foot flat throughout, the last pose the first: thigh and knee as simple waves, the ankle what is left
const thigh = series(0.3, 0.35, 0);
const knee = series(0.5, 0.4, 0.1);
const ankle = series(0.2, 0.05, 0.1);
const wave = (s: number) => ({
  thigh: 0.3 + 0.35 * Math.cos(2 * Math.PI * s),
  knee: 0.5 + 0.4 * Math.cos(2 * Math.PI * s) + 0.1 * Math.sin(2 * Math.PI * s),
});
const over = (s: number): number =>
  THIGH * Math.cos(wave(s).thigh) + SHANK * Math.cos(wave(s).thigh - wave(s).knee) + HEEL;

const hip: StairHip = stairHip({ thigh, knee, ankle }, 0.7, segments, sole, {
  riser: RISER,
  length: LENGTH,
  force: () => 700,
});
const out = new Float64Array(6);
const at = (s: number): Float64Array => {
  stairHipAt(hip, s, out);
  return out.slice();
};

describe('a hip over a stair', () => {
  test('is as high as the planted leg reaches, to half a millimetre', () => {
    for (let s = 0.03; s < 0.63; s += 0.03) expect(Math.abs(at(s)[0]! - over(s))).toBeLessThan(5e-4);
  });

  test('stands one riser higher when the same pose stands on the next tread', () => {
    expect(Math.abs(at(1)[0]! - at(0)[0]! - RISER)).toBeLessThan(1e-3);
    expect(at(1)[0]).toBeCloseTo(over(1) + RISER, 6);
    expect(at(1)[3]).toBeCloseTo(LENGTH, 12);
  });

  test('passes where the other leg says, one riser on, in the middle of its stance', () => {
    expect(Math.abs(at(0.5 + 0.45 * 0.7)[0]! - over(0.45 * 0.7) - RISER)).toBeLessThan(5e-4);
  });

  test('moves as fast as its rates say, and has no step where its pieces meet', () => {
    const h = 1e-6;
    for (let s = 0.01; s < 0.995; s += 0.0137)
      for (const k of [0, 3]) {
        const slope = (at(s + h)[k]! - at(s - h)[k]!) / 2 / h;
        expect(Math.abs(slope - at(s)[k + 1]!)).toBeLessThan(1e-4);
        const bend = (at(s + h)[k + 1]! - at(s - h)[k + 1]!) / 2 / h;
        expect(Math.abs(bend - at(s)[k + 2]!)).toBeLessThan(1e-2 * (1 + Math.abs(bend)));
      }
  });

  test('the planted foot does not slip: the pace is that of the ankle backwards', () => {
    // x of the ankle from the hip is L₁·sin φ₁ + L₂·sin φ₂
    const reach = (s: number): number =>
      THIGH * Math.sin(wave(s).thigh) + SHANK * Math.sin(wave(s).thigh - wave(s).knee);
    for (let s = 0.1; s < 0.6; s += 0.05)
      expect(Math.abs(at(s)[3]! + reach(s) - at(0.3)[3]! - reach(0.3))).toBeLessThan(5e-3);
  });
});

describe('treads', () => {
  const shape = treadsUnder(hip, sole, { riser: RISER, tread: 0.3, over: 0.02 });
  const { at: ground, lift } = terrainOf(shape);
  const height = (x: number): number => {
    ground(x, out);
    return out[0]!;
  };
  test('lie one riser under and over the foot, which stands in the middle', () => {
    const middle = hip.ankle + 0.025;
    expect(height(middle - 0.14)).toBeCloseTo(0, 12);
    expect(height(middle + 0.14)).toBeCloseTo(0, 12);
    expect(height(middle - 0.17)).toBeCloseTo(-RISER, 12);
    expect(height(middle + 0.17)).toBeCloseTo(RISER, 12);
    lift(middle + 0.2, out);
    expect([...out.slice(0, 2)]).toEqual([0, 0]);
  });
  test('slope is the derivative everywhere, edges too', () => {
    for (let x = -0.3; x < 0.6; x += 0.0031) {
      ground(x, out);
      const slope = out[1]!;
      expect(Math.abs((height(x + 1e-7) - height(x - 1e-7)) / 2e-7 - slope)).toBeLessThan(1e-4);
    }
  });
});

test('a stair’s course comes to rest at its end, and is as fast as its places say', () => {
  const step = 1e-3;
  const course = stairCourse(
    { hip, thigh, hipMoment: series(0, 0, 0), force: () => 500, mass: 80, speed: 0.5, strideTime: 1.2 },
    step,
  );
  const y = (i: number, place: number): number => course.table[i * COURSE_WIDTH + place]!;
  const last = course.perStride;
  expect(y(last, COURSE.place)).toBe(1);
  for (const rate of [COURSE.xRate, COURSE.heightRate, COURSE.thighRate])
    expect(y(last, rate)).toBeCloseTo(0, 9);
  for (let i = 1; i < last; i++)
    for (const [place, rate] of [
      [COURSE.x, COURSE.xRate],
      [COURSE.height, COURSE.heightRate],
      [COURSE.thigh, COURSE.thighRate],
    ] as const)
      expect(Math.abs((y(i + 1, place) - y(i - 1, place)) / 2 / step - y(i, rate))).toBeLessThan(2e-2);
});
