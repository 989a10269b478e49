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
  const i = propagated(20, spreads, at)!;
  // sd = √(9·1 + 4·4) = 5; 5th–95th percentile ±1.645·5
  expect(i.high - 20).toBeCloseTo(1.645 * 5, 2);
  expect(20 - i.low).toBeCloseTo(i.high - 20, 12);
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
  const got = propagated(f(10, 4), spreads, (s, x) => (s.path === 'a' ? f(x, 4) : f(10, x)))!;
  const draws = Float64Array.from({ length: 100_000 }, () =>
    f(10 + 0.5 * (2 * uniform() - 1), 4 + 0.3 * (2 * uniform() - 1)),
  ).sort();
  const width = draws[95_000] - draws[5_000];
  expect(Math.abs((got.high - got.low) / width - 1)).toBeLessThan(0.05);
});

test('no spread, no interval; an unknown neighbour makes it unknown, not narrow', () => {
  expect(propagated(1, [], () => 1)).toBeNull();
  expect(propagated(1, [spread('a', 1, 1)], () => Number.NaN)).toBeNull();
});

test('states', () => {
  const bound = { kind: 'at most', value: 3 } as const;
  const wide = { low: 1, high: 4, level: 0.9, method: 'linear propagation' } as const;
  expect(verdict(bound, 2, null)).toBe('met');
  expect(verdict(bound, 2, wide)).toBe('open');
  expect(verdict(bound, 3.5, wide)).toBe('not met');
  expect(verdict(bound, null, null)).toBe('open');
  expect(verdict({ kind: 'at least', value: 1 }, 1.2, { ...wide, low: 0.9 })).toBe('open');
  expect(verdict({ kind: 'at least', value: 1 }, 1.2, { ...wide, low: 1.1 })).toBe('met');
});
