import { expect, test } from 'vitest';
import { quadraticProgram } from './quadratic-program.ts';

// Park & Miller, Comm. ACM 31 (1988) 1192, so that the draws are the same everywhere
let seed = 7;
const uniform = () => {
  seed = (seed * 48271) % 2147483647;
  return 2 * (seed / 2147483647) - 1;
};
const vector = (n: number, scale = 1) => Float64Array.from({ length: n }, () => scale * uniform());
const dot = (a: ArrayLike<number>, b: ArrayLike<number>) =>
  Array.from(a).reduce((sum, x, k) => sum + x * b[k]!, 0);

test('conditions of Karush, Kuhn and Tucker over drawn problems, units far apart', () => {
  for (let trial = 0; trial < 200; trial++) {
    const n = 4;
    const units = [1, 100, 0.01, 10];
    const A = Array.from({ length: 9 }, () => vector(n).map((x, j) => x * units[j]!));
    const H = Array.from({ length: n }, (_, i) =>
      Float64Array.from({ length: n }, (_, j) => A.reduce((sum, row) => sum + row[i]! * row[j]!, 0)),
    );
    const f = vector(n, 5);
    const inside = vector(n); // keeps every constraint, so that there is a minimum
    const equal = [{ row: vector(n), value: 0 }].map(({ row }) => ({ row, value: dot(row, inside) }));
    const atLeast = Array.from({ length: 5 }, () => {
      const row = vector(n);
      return { row, value: dot(row, inside) - 0.1 * Math.abs(uniform()) };
    });
    const { x, objective, equal: mu, atLeast: lambda } = quadraticProgram(H, f, equal, atLeast);
    const Hx = H.map((row) => dot(row, x));
    for (let j = 0; j < n; j++) {
      const pull =
        mu[0]! * equal[0]!.row[j]! + atLeast.reduce((sum, a, k) => sum + lambda[k]! * a.row[j]!, 0);
      expect(Math.abs(Hx[j]! - f[j]! - pull)).toBeLessThan(1e-7 * (1 + Math.abs(Hx[j]!) + Math.abs(pull)));
    }
    expect(dot(equal[0]!.row, x)).toBeCloseTo(equal[0]!.value, 7);
    atLeast.forEach(({ row, value }, k) => {
      expect(dot(row, x) - value).toBeGreaterThan(-1e-7);
      expect(lambda[k]).toBeGreaterThanOrEqual(0);
      if (lambda[k]! > 0) expect(dot(row, x)).toBeCloseTo(value, 7);
    });
    expect(objective).toBeCloseTo(0.5 * dot(x, Hx) - dot(f, x), 6);
  }
});

test('without constraints it is the solution of H·x = f', () => {
  const { x } = quadraticProgram(
    [Float64Array.of(4, 1), Float64Array.of(1, 3)],
    Float64Array.of(1, 2),
    [],
    [],
  );
  expect(x[0]).toBeCloseTo(1 / 11, 12);
  expect(x[1]).toBeCloseTo(7 / 11, 12);
});

test('contradicting bounds, and a form that is flat in one direction', () => {
  const H = [Float64Array.of(1, 0), Float64Array.of(0, 1)];
  const row = Float64Array.of(1, 0);
  const opposite = Float64Array.of(-1, 0);
  const f = new Float64Array(2);
  expect(() =>
    quadraticProgram(
      H,
      f,
      [],
      [
        { row, value: 1 },
        { row: opposite, value: 0 },
      ],
    ),
  ).toThrow(
    'no point keeps every constraint. Widen the bounds, or drop a constraint that contradicts another.',
  );
  expect(() => quadraticProgram([Float64Array.of(1, 1), Float64Array.of(1, 1)], f, [], [])).toThrow(
    'not positive definite',
  );
  expect(() => quadraticProgram([Float64Array.of(1, 0), Float64Array.of(0, 0)], f, [], [])).toThrow(
    'not positive definite',
  );
});
