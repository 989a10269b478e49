import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { rotationMatrix, turnBy } from './quaternion.ts';

const { turns } = JSON.parse(
  readFileSync(new URL('../../reference/numeric/attitude.json', import.meta.url), 'utf8'),
) as {
  turns: {
    rate: [number, number, number];
    time: number;
    quaternion: number[];
    matrix: number[];
  }[];
};
const none = () => Float64Array.of(1, 0, 0, 0);

describe('attitude as a quaternion', () => {
  test('three turns about unlike axes agree with SciPy', () => {
    const q = none();
    for (const { rate, time, quaternion, matrix } of turns) {
      turnBy(q, 0, ...rate, time);
      quaternion.forEach((x, k) => {
        expect(q[k]).toBeCloseTo(x, 13);
      });
      rotationMatrix(q, 0, new Float64Array(9)).forEach((x, k) => {
        expect(x).toBeCloseTo(matrix[k]!, 13);
      });
    }
  });

  test('laws: there and back is nothing, two halves are the whole, length stays 1, R is orthogonal with determinant 1', () => {
    const q = none();
    turnBy(q, 0, 0.7, -2, 1.1, 0.3);
    const whole = Float64Array.from(q);
    const halves = none();
    turnBy(halves, 0, 0.7, -2, 1.1, 0.15);
    turnBy(halves, 0, 0.7, -2, 1.1, 0.15);
    whole.forEach((x, k) => {
      expect(halves[k]).toBeCloseTo(x, 14);
    });
    const r = rotationMatrix(q, 0, new Float64Array(9));
    for (let i = 0; i < 3; i++)
      for (let j = 0; j < 3; j++) {
        const dot = [0, 1, 2].reduce((sum, k) => sum + r[3 * i + k]! * r[3 * j + k]!, 0);
        expect(dot).toBeCloseTo(i === j ? 1 : 0, 14);
      }
    const minor = (a: number, b: number, c: number, d: number) => r[a]! * r[d]! - r[b]! * r[c]!;
    expect(r[0]! * minor(4, 5, 7, 8) - r[1]! * minor(3, 5, 6, 8) + r[2]! * minor(3, 4, 6, 7)).toBeCloseTo(
      1,
      14,
    );
    turnBy(q, 0, -0.7, 2, -1.1, 0.3);
    none().forEach((x, k) => {
      expect(q[k]).toBeCloseTo(x, 14);
    });
  });

  test('an axis that goes round keeps its length over a million steps', () => {
    const q = none();
    for (let k = 0; k < 1e6; k++) turnBy(q, 0, Math.sin(k / 100), 1, -2, 1e-3);
    expect(Math.hypot(...q)).toBeCloseTo(1, 12);
  });

  test('the smallest turns are not lost: a million of 1e-9 rad are one of 1e-3', () => {
    const q = none();
    for (let k = 0; k < 1e6; k++) turnBy(q, 0, 0, 1e-6, 0, 1e-3);
    expect(2 * Math.asin(q[2]!)).toBeCloseTo(1e-3, 12);
  });
});
