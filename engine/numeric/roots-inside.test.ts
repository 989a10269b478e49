import { expect, test } from 'vitest';
import { largestRoot, lessRoot, rootBracket, rootsInside } from './roots-inside.ts';

/** Coefficients, constant first, of the polynomial with these real roots and complex pairs [modulus, argument]. */
function polynomial(roots: readonly number[], pairs: readonly (readonly [number, number])[]): Float64Array {
  let p = [1];
  const times = (q: readonly number[]): void => {
    const product = new Array<number>(p.length + q.length - 1).fill(0);
    for (const [i, a] of p.entries()) for (const [j, b] of q.entries()) product[i + j]! += a * b;
    p = product;
  };
  for (const root of roots) times([-root, 1]);
  for (const [modulus, argument] of pairs) times([modulus ** 2, -2 * modulus * Math.cos(argument), 1]);
  return Float64Array.from(p);
}

test('polynomials of known roots: inside exactly when the largest modulus is below one, and that modulus', () => {
  let x = 11;
  const next = (): number => {
    x = (x * 48271) % 2147483647;
    return x / 2147483647;
  };
  for (let trial = 0; trial < 400; trial++) {
    const roots = Array.from({ length: trial % 4 }, () => 2.2 * next() - 1.1);
    const pairs = Array.from({ length: 1 + (trial % 3) }, () => [1.08 * next(), Math.PI * next()] as const);
    const largest = Math.max(...roots.map(Math.abs), ...pairs.map(([modulus]) => modulus));
    expect(rootsInside(polynomial(roots, pairs))).toBe(largest < 1);
    expect(Math.abs(largestRoot(polynomial(roots, pairs), 4) - largest)).toBeLessThan(1e-6);
  }
});

test('a root on the circle is not inside, and one beyond what is asked has no bound', () => {
  expect(rootsInside(polynomial([1, 0.2], []))).toBe(false);
  expect(largestRoot(polynomial([5], []), 4)).toBe(Number.POSITIVE_INFINITY);
});

test('which of two polynomials has the larger root is told as by the roots, however often it was asked before', () => {
  const sets = [[0.5, 0.2], [-0.9, 0.3], [0.5000001, 0.1], [3.9], [5], [-6, 0.1]];
  const brackets = sets.map((roots) => rootBracket(polynomial(roots, []), 4));
  // all beyond what is asked are one to it
  const largest = sets.map((roots) => Math.min(4.5, Math.max(...roots.map(Math.abs))));
  for (const again of [0, 1])
    for (const [i, one] of brackets.entries())
      for (const [j, other] of brackets.entries())
        expect(lessRoot(one, other), `${again}: ${sets[i]} and ${sets[j]}`).toBe(largest[i]! < largest[j]!);
  // far apart, a few halvings tell
  const [slow, fast] = [0.9, 0.1].map((root) => rootBracket(polynomial([root], []), 4));
  expect(lessRoot(fast!, slow!)).toBe(true);
  expect(slow!.left).toBeGreaterThan(50);
});
