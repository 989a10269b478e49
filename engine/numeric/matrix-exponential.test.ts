import { expect, test } from 'vitest';
import { matrixExponential, matrixProduct } from './matrix-exponential.ts';

const close = (got: Float64Array, want: readonly number[], relative: number): void => {
  const scale = Math.max(...want.map(Math.abs));
  want.forEach((x, i) => {
    expect(Math.abs(got[i] - x)).toBeLessThan(relative * scale);
  });
};

test('a turn by an angle, a decay, a double integrator', () => {
  for (const w of [0.1, 3, 20]) {
    close(
      matrixExponential(Float64Array.of(0, -w, w, 0), 2),
      [Math.cos(w), -Math.sin(w), Math.sin(w), Math.cos(w)],
      1e-13,
    );
  }
  close(matrixExponential(Float64Array.of(-3), 1), [Math.exp(-3)], 1e-14);
  close(
    matrixExponential(Float64Array.of(0, 1, 0, 0, 0, 1, 0, 0, 0), 3),
    [1, 1, 0.5, 0, 1, 1, 0, 0, 1],
    1e-15,
  );
});

test('e^A·e^−A is one, for a matrix of no special form', () => {
  const a = Float64Array.from({ length: 25 }, (_, k) => Math.sin(7 * k + 1) * 3);
  const product = matrixProduct(
    matrixExponential(a, 5),
    matrixExponential(
      a.map((x) => -x),
      5,
    ),
    5,
  );
  close(
    product,
    Array.from({ length: 25 }, (_, k) => (k % 6 === 0 ? 1 : 0)),
    1e-9,
  );
});
