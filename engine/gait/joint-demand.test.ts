import fc from 'fast-check';
import { expect, test } from 'vitest';
import { trapezoid } from '../numeric/trapezoid.ts';
import { jointWork } from './joint-demand.ts';

test('work of a sine of power: its two halves are ±T/π', () => {
  const power = Float64Array.from({ length: 2001 }, (_, i) => Math.sin((2 * Math.PI * i) / 2000));
  const { positive, negative } = jointWork(power, 1.1 / 2000);
  expect(positive).toBeCloseTo(1.1 / Math.PI, 6);
  expect(negative).toBeCloseTo(-1.1 / Math.PI, 6);
});

test('a straight line through zero is split where it crosses: triangles by hand', () => {
  // from −1 to 3 over 1 s: crosses at 0.25 s; −0.125 J and 1.125 J
  expect(jointWork(Float64Array.of(-1, 3), 1)).toEqual({ positive: 1.125, negative: -0.125 });
  expect(jointWork(Float64Array.of(3, -1), 1)).toEqual({ positive: 1.125, negative: -0.125 });
});

test('positive and negative part sum to the integral, and turning the sign exchanges them', () => {
  const samples = fc.array(fc.double({ min: -500, max: 500, noNaN: true }), { minLength: 2, maxLength: 60 });
  fc.assert(
    fc.property(samples, (p) => {
      const work = jointWork(Float64Array.from(p), 0.005);
      const turned = jointWork(
        Float64Array.from(p, (x) => -x),
        0.005,
      );
      const net = trapezoid(Float64Array.from(p), 0.005);
      return (
        work.positive >= 0 &&
        work.negative <= 0 &&
        Math.abs(work.positive + work.negative - net) < 1e-9 &&
        Math.abs(turned.positive + work.negative) < 1e-9
      );
    }),
    { seed: 8 },
  );
});

test('a power that is unknown anywhere has no work', () => {
  const { positive, negative } = jointWork(Float64Array.of(1, Number.NaN, 2), 1);
  expect(positive).toBeNaN();
  expect(negative).toBeNaN();
});
