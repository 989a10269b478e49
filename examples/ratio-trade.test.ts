import path from 'node:path';
import { openStudy } from '@striderule/store';
import { beforeAll, expect, test } from 'vitest';
import { ankleAtRatios, type RatioTrade, tradeText } from './ratio-trade.ts';

let at: { readonly [ratio: number]: RatioTrade };

beforeAll(async () => {
  const { input } = await openStudy(path.join(import.meta.dirname, 'tern'));
  at = Object.fromEntries(ankleAtRatios(input, [9, 22, 50]).map((trade) => [trade.ratio, trade]));
});

test('reflected inertia is N²·(J_m + J_in), by hand from the values of the demo leg', () => {
  // Rotor 2.148e-4 and input-side gears 0.2e-4 kg·m² (the demo motor and leg); Lynch & Park, Modern Robotics (2017), §8.9.
  for (const ratio of [9, 22, 50]) {
    expect(at[ratio]!.figures.reflectedInertia).toBeCloseTo(ratio ** 2 * (2.148e-4 + 0.2e-4), 9);
  }
});

test('breakaway grows with the ratio in a straight line: N·τ_s/η_b above the output friction', () => {
  const slope = (a: number, b: number): number =>
    (at[b]!.figures.breakaway - at[a]!.figures.breakaway) / (b - a);
  expect(slope(9, 22)).toBeCloseTo(slope(22, 50), 12);
  // 0.05 N·m ÷ 0.935 (the demo leg's drag and back-driven efficiency)
  expect(slope(9, 22)).toBeCloseTo(0.05 / 0.935, 9);
});

test('the trade: more ratio leaves more torque and less speed, and is harder to move', () => {
  const [low, middle, high] = [at[9]!, at[22]!, at[50]!];
  for (const [less, more] of [
    [low, middle],
    [middle, high],
  ] as const) {
    expect(more.load.torqueMargin).toBeGreaterThan(less.load.torqueMargin);
    expect(more.load.speedMargin).toBeLessThan(less.load.speedMargin);
    expect(more.figures.backDrive).toBeGreaterThan(less.figures.backDrive);
  }
});

test('the table names every ratio', () => {
  expect(tradeText(Object.values(at))).toMatch(/^ratio +9 +22 +50$/m);
});
