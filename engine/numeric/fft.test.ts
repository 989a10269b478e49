import { expect, test } from 'vitest';
import { fft } from './fft.ts';

/** A row of numbers without pattern: a multiplicative generator, Park & Miller. */
function scatter(n: number, seed: number): Float64Array {
  let x = seed;
  return Float64Array.from({ length: n }, () => {
    x = (x * 48271) % 2147483647;
    return x / 2147483647 - 0.5;
  });
}

test.each([1, 2, 8, 64])('length %i equals the sum that defines it', (n) => {
  const [real, imaginary] = [scatter(n, 7), scatter(n, 11)];
  const [re, im] = [real.slice(), imaginary.slice()];
  fft(n)(re, im);
  for (let k = 0; k < n; k++) {
    let [a, b] = [0, 0];
    for (let i = 0; i < n; i++) {
      const angle = (-2 * Math.PI * i * k) / n;
      a += real[i] * Math.cos(angle) - imaginary[i] * Math.sin(angle);
      b += real[i] * Math.sin(angle) + imaginary[i] * Math.cos(angle);
    }
    expect(re[k]).toBeCloseTo(a, 12);
    expect(im[k]).toBeCloseTo(b, 12);
  }
});

test('energy is kept (Parseval), over a long row', () => {
  const n = 16384;
  const real = scatter(n, 5);
  const before = real.reduce((sum, x) => sum + x * x, 0);
  const imaginary = new Float64Array(n);
  fft(n)(real, imaginary);
  const after = real.reduce((sum, x, k) => sum + x * x + imaginary[k] ** 2, 0) / n;
  expect(Math.abs(after / before - 1)).toBeLessThan(1e-12);
});

test('a length that is no power of two is refused', () => {
  expect(() => fft(12)).toThrow('a length of 12 is no power of two');
  expect(() => fft(0)).toThrow(RangeError);
});
