import { expect, test } from 'vitest';
import type { Spread } from '../quantity/spread.ts';
import { propagated } from './interval.ts';
import { verdict } from './verdict.ts';

const spread = (path: string, nominal: number, sd: number): Spread => ({
  path,
  nominal,
  sd,
  basis: 'assumed',
  because: 'test',
});

test('a linear function has the exact interval of a normal sum', () => {
  const spreads = [spread('a', 10, 1), spread('b', 5, 2)];
  const at = (s: Spread, x: number) => 3 * (s.path === 'a' ? x : 10) - 2 * (s.path === 'b' ? x : 5);
  const i = propagated(20, spreads, at).interval!;
  // sd = √(9·1 + 4·4) = 5; 5th–95th percentile ±1.645·5
  expect(i.high - 20).toBeCloseTo(1.645 * 5, 2);
  expect(20 - i.low).toBeCloseTo(i.high - 20, 12);
});

// K_m = K_t/√(1.5·R): u² = u_K² + (u_R/2)²; heat at fixed torque ∝ R/K_t²: u² = (2·u_K)² + u_R². JCGM 100:2008, 5.1.6.
test('DRV-U1 products and powers: relative spreads add in squares, weighted by their exponents', () => {
  // a hundredth of 5 % and 8 %, so that the first order is all there is
  const spreads = [spread('k', 1, 5e-4), spread('r', 1, 8e-4)];
  const deviation = (f: (k: number, r: number) => number): number => {
    const at = (s: Spread, x: number) => (s.path === 'k' ? f(x, 1) : f(1, x));
    const { interval } = propagated(f(1, 1), spreads, at);
    return (interval!.high - f(1, 1)) / 1.6448536 / f(1, 1);
  };
  expect(100 * deviation((k, r) => k / Math.sqrt(1.5 * r))).toBeCloseTo(0.064031, 5);
  expect(100 * deviation((k, r) => r / k ** 2)).toBeCloseTo(0.128062, 5);
});

test('agrees with plain draws through a bent function', () => {
  let seed = 12345;
  const uniform = () => {
    // Park & Miller, Comm. ACM 31 (1988) 1192: minimal standard generator
    seed = (seed * 48271) % 2147483647;
    return seed / 2147483647;
  };
  const f = (a: number, b: number) => (a * a) / b;
  const spreads: Spread[] = [
    { path: 'a', nominal: 10, range: 0.5, basis: 'assumed' },
    { path: 'b', nominal: 4, range: 0.3, basis: 'assumed' },
  ];
  const got = propagated(f(10, 4), spreads, (s, x) => (s.path === 'a' ? f(x, 4) : f(10, x))).interval!;
  const draws = Float64Array.from({ length: 100_000 }, () =>
    f(10 + 0.5 * (2 * uniform() - 1), 4 + 0.3 * (2 * uniform() - 1)),
  ).sort();
  const width = draws[95_000] - draws[5_000];
  expect(Math.abs((got.high - got.low) / width - 1)).toBeLessThan(0.05);
});

test('no spread, no interval; an unknown neighbour makes it unknown, not narrow', () => {
  expect(propagated(1, [], () => 1)).toEqual({ interval: null });
  expect(propagated(1, [spread('b', 1, 1)], () => 1)).toEqual({ interval: null });
  expect(propagated(1, [spread('a', 1, 1)], () => Number.NaN)).toEqual({ interval: null, unknownAt: 'a' });
});

test('states', () => {
  const bound = { kind: 'at most', value: 3 } as const;
  const none = { interval: null };
  const reach = (low: number, high: number) => ({
    interval: { low, high, level: 0.9, method: 'linear propagation' } as const,
  });
  expect(verdict(bound, 2, none)).toBe('met');
  expect(verdict(bound, 2, reach(1, 4))).toBe('open');
  expect(verdict(bound, 3.5, reach(1, 4))).toBe('not met');
  expect(verdict(bound, null, none)).toBe('open');
  expect(verdict({ kind: 'at least', value: 1 }, 1.2, reach(0.9, 4))).toBe('open');
  expect(verdict({ kind: 'at least', value: 1 }, 1.2, reach(1.1, 4))).toBe('met');
  expect(verdict(bound, 2, { interval: null, unknownAt: 'a' })).toBe('open');
  expect(verdict(bound, 3.5, { interval: null, unknownAt: 'a' })).toBe('not met');
  expect(verdict(bound, Number.NaN, none)).toBe('open');
});

// f = a·b/c of log-normal inputs is log-normal: ln f has the sum of the variances, so its 5th and 95th percentile are exact.
test('a product of narrow log-normal inputs, against its closed form', () => {
  const sigma = [0.03, 0.04, 0.02];
  const nominal = [22, 8, 4];
  const spreads = nominal.map((x, k) => spread(String(k), x, x * sigma[k]));
  const f = ([a, b, c]: number[]) => (a * b) / c;
  const got = propagated(44, spreads, (s, x) => f(nominal.map((v, k) => (String(k) === s.path ? x : v))))
    .interval!;
  const total = Math.hypot(...sigma);
  const x = 1.644854 * total;
  // Lagrange's remainder of e^x after its linear term
  const remainder = (x ** 2 / 2) * Math.exp(x);
  expect(Math.abs(got.low / (44 * Math.exp(-x)) - 1)).toBeLessThan(remainder);
  expect(Math.abs(got.high / (44 * Math.exp(x)) - 1)).toBeLessThan(remainder);
});
