// Draws through the whole thread against closed forms, each on the demo study with other spreads.
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import type { Requirement } from '../evidence/requirement.ts';
import { normalBelow } from '../numeric/test-normal.ts';
import type { Spread } from '../quantity/spread.ts';
import { studyDemands } from './design.ts';
import type { StudyInput } from './study-input.ts';
import { openTolerance } from './tolerance.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const demands = studyDemands(input);
const knee = input.leg.joints.knee!;
const N = knee.transmission.ratio;
const DRAWS = 4000;

const asked = (metric: string, kind: 'at most' | 'at least', value: number): Requirement => ({
  id: metric,
  metric,
  joint: 'knee',
  bound: { kind, value },
  because: 'test',
});
const normal = (path: string, nominal: number, sd: number): Spread => ({
  path,
  nominal,
  sd,
  basis: 'assumed',
});
const study = (requirements: Requirement[], spreads: Spread[]): StudyInput => ({
  ...input,
  requirements,
  spreads,
});
const ran = (of: StudyInput, more: { statedOnly?: boolean; seed?: number } = {}) => {
  const run = openTolerance(of, { seed: 20261127, statedOnly: true, ...more }, demands);
  run.draw(DRAWS);
  return run.result();
};

// J_ref = N²·(J_m + J_in) + J_out is linear, so it is normal with σ² = N⁴·(σ_m² + σ_in²).
const J = [knee.motor.rotorInertia, knee.transmission.inputInertia] as const;
const inertiaSpreads = [
  normal('joints.knee.motor.rotorInertia', J[0], 8e-6),
  normal('joints.knee.transmission.inputInertia', J[1], 3e-6),
];
const mean = N * N * (J[0] + J[1]);
const sigma = N * N * Math.hypot(8e-6, 3e-6);

describe('a linear figure of two normal inputs', () => {
  const bound = mean + 0.7 * sigma;
  const { requirements } = ran(study([asked('reflectedInertia', 'at most', bound)], inertiaSpreads));
  const got = requirements[0]!;

  test('probability and percentiles are those of the normal distribution, within what the draws leave unknown', () => {
    const exact = normalBelow(0.7);
    const error = Math.sqrt((exact * (1 - exact)) / DRAWS);
    expect(Math.abs(got.met!.share - exact)).toBeLessThan(4 * error);
    expect(got.met!.high - got.met!.low).toBeCloseTo(2 * 1.96 * error, 3);
    // error of a percentile: √(p·(1 − p)/n)/density, density at ± 1.645 is 0.1031/σ
    const [low, median, high] = got.percentiles!;
    const tail = (4 * Math.sqrt((0.05 * 0.95) / DRAWS) * sigma) / 0.1031;
    expect(Math.abs(low - (mean - 1.6449 * sigma))).toBeLessThan(tail);
    expect(Math.abs(high - (mean + 1.6449 * sigma))).toBeLessThan(tail);
    expect(Math.abs(median - mean)).toBeLessThan((4 * 1.2533 * sigma) / Math.sqrt(DRAWS));
  });

  test('linear propagation is exact, explains all, and the shares are those of the squares', () => {
    expect(got.nominal).toBeCloseTo(mean, 12);
    expect(got.linear!.high).toBeCloseTo(mean + 1.6448536 * sigma, 9);
    expect(got.explained).toBeCloseTo(1, 9);
    expect(got.contributions.map(({ path }) => path)).toEqual(inertiaSpreads.map(({ path }) => path));
    expect(got.contributions[0]!.share).toBeCloseTo(64 / 73, 9);
  });
});

test('what a test settles, by hand: the chance that the known rest leaves the interval on one side of the bound', () => {
  const bound = mean + 0.7 * sigma;
  const more = [...inertiaSpreads, normal('joints.knee.motor.resistance', knee.motor.resistance, 1e-3)];
  const [only] = ran(study([asked('reflectedInertia', 'at most', bound)], more)).tests;
  // both inputs are of one test: known, nothing is left, and every outcome settles it
  expect(only!.test).toBe('knee: inertia from acceleration against a known torque');
  expect(only!.paths).toEqual(inertiaSpreads.map(({ path }) => path));
  expect(only!.settles).toEqual([{ id: 'reflectedInertia', chance: 1 }]);

  // breakaway N·τ_s/η_b + τ_out: two tests, linear in both drags
  const { motor, transmission: t } = knee;
  const [s1, s2] = [(N * 4e-3) / t.backDrivenEfficiency, 5e-2];
  const value = (N * motor.breakawayDrag) / t.backDrivenEfficiency + t.outputBreakaway;
  const limit = value + 0.05;
  const { tests } = ran(
    study(
      [asked('breakawayTorque', 'at most', limit)],
      [
        normal('joints.knee.motor.breakawayDrag', motor.breakawayDrag, 4e-3),
        normal('joints.knee.transmission.outputBreakaway', t.outputBreakaway, 5e-2),
      ],
    ),
  );
  const chance = (own: number, rest: number) =>
    normalBelow((0.05 - 1.6448536 * rest) / own) + 1 - normalBelow(0.05 / own);
  const error = 4 / Math.sqrt(4 * DRAWS);
  const of = (word: string) => tests.find(({ test }) => test.includes(word))!;
  expect(Math.abs(of('breakaway').expected - chance(s1, s2))).toBeLessThan(error);
  // negative drags of the output cannot be and are drawn again: 2.3 % of them, which moves the chance by no more
  expect(Math.abs(of('uncoupled').expected - chance(s2, s1))).toBeLessThan(error + 0.03);
  expect(tests[0]!.expected).toBeGreaterThan(tests[1]!.expected);
});

test('uniform inputs stay inside their interval and have its variance', () => {
  const half = 0.3 * knee.motor.coulombDrag;
  const path = 'joints.knee.motor.coulombDrag';
  const got = ran(
    study(
      [asked('dynamicBackdriveTorque', 'at most', 9)],
      [{ path, nominal: knee.motor.coulombDrag, range: half, basis: 'assumed' }],
    ),
  ).requirements[0]!;
  const scale = N / knee.transmission.backDrivenEfficiency;
  const [low, , high] = got.percentiles!;
  // 5th and 95th of a uniform: ± 0.9 of the half width; error √(p·(1 − p)/n)·2·half
  expect(Math.abs(high - low - 1.8 * half * scale)).toBeLessThan(
    8 * Math.sqrt((0.05 * 0.95) / DRAWS) * 2 * half * scale,
  );
  expect(got.met).toMatchObject({ share: 1, high: 1 });
  expect(got.met!.low).toBeGreaterThan(0.999);
});

test('what cannot be is counted and drawn again: a drag within its own size is a normal cut off at zero', () => {
  const path = 'joints.knee.transmission.outputCoulomb';
  const nominal = knee.transmission.outputCoulomb;
  const { requirements, impossible } = ran(
    study([asked('dynamicBackdriveTorque', 'at most', 9)], [normal(path, nominal, nominal)]),
  );
  const below = normalBelow(-1);
  // so many failures before DRAWS successes: negative binomial
  const wanted = (DRAWS * below) / (1 - below);
  const deviation = Math.sqrt(DRAWS * below) / (1 - below);
  expect(Math.abs(impossible[path]! - wanted)).toBeLessThan(4 * deviation);
  // median of the normal above −1: Φ(m) = (1 + Φ(−1))/2, m = 0.2002
  expect(normalBelow(0.2002)).toBeCloseTo((1 + below) / 2, 4);
  const { nominal: value, percentiles } = requirements[0]!;
  expect(Math.abs(percentiles![1] - value! - 0.2002 * nominal)).toBeLessThan(0.06 * nominal);
});

test('a spread within which hardly anything can be is refused with the way out', () => {
  const path = 'joints.knee.transmission.drivingEfficiency';
  expect(() =>
    ran(study([asked('torqueMargin', 'at least', 1)], [{ path, nominal: 30, range: 2, basis: 'assumed' }])),
  ).toThrow(/Hardly any value within the spread of `joints\.knee\.transmission\.drivingEfficiency` can be/);
});

test('people: the torque the mean person asks, and a margin that falls with their strength', () => {
  const one = { ...asked('peakMotorTorque', 'at most', 1), joint: 'ankle' as const, task: 'walk-natural' };
  const run = openTolerance(study([one], []), { seed: 5 }, demands);
  run.draw(500);
  const { requirements, inputs } = run.result();
  expect(inputs.filter(({ origin }) => origin === 'people').map(({ path }) => path)).toEqual([
    'people.knee',
    'people.ankle',
  ]);
  const got = requirements[0]!;
  expect(got.contributions[0]).toMatchObject({ path: 'people.ankle' });
  // 0.125 of 1.32 N·m/kg between people as published, through a drive that is nearly linear: 9.5 % of the torque, ± 1.645 of it
  const spread = (got.percentiles![2] - got.percentiles![0]) / (2 * 1.645) / got.nominal!;
  expect(spread).toBeGreaterThan(0.085);
  expect(spread).toBeLessThan(0.105);
});

test('the leg file’s own spread goes before the typical one; what it leaves out is typical, and says so', () => {
  const path = 'joints.knee.motor.resistance';
  const own = normal(path, knee.motor.resistance, 1e-4);
  const run = openTolerance(study([], [own]), { seed: 1 }, demands);
  const of = (wanted: string) => run.inputs.filter((one) => one.path === wanted);
  expect(of(path)).toEqual([{ path, origin: 'leg file', nominal: own.nominal, deviation: 1e-4 }]);
  expect(of('joints.ankle.motor.resistance')).toMatchObject([{ origin: 'typical' }]);
  expect(of('joints.ankle.motor.resistance')[0]!.because).toContain('COMMON PRACTICE');
  // 1.96 deviations of the loss: 30 % of 6 %
  expect(of('joints.knee.transmission.drivingEfficiency')[0]!.deviation).toBeCloseTo(
    (0.3 * (1 - knee.transmission.drivingEfficiency)) / 1.96,
    6,
  );
});

test('the same seed gives the same draws, however they are divided; another seed others', () => {
  const of = study([asked('reflectedInertia', 'at most', mean)], inertiaSpreads);
  const run = openTolerance(of, { seed: 3, statedOnly: true }, demands);
  run.draw(40);
  run.draw(60);
  const whole = openTolerance(of, { seed: 3, statedOnly: true }, demands);
  whole.draw(100);
  expect(run.result()).toEqual(whole.result());
  const other = openTolerance(of, { seed: 4, statedOnly: true }, demands);
  other.draw(100);
  expect(other.result().requirements[0]!.percentiles).not.toEqual(run.result().requirements[0]!.percentiles);
});

test('what is not predicted stays open with its reason; no draws is a fault', () => {
  const whole = study([{ ...asked('renderedStiffness', 'at least', 600), joint: 'ankle' }], inertiaSpreads);
  const { controller: _, ...leg } = whole.leg;
  const of = { ...whole, leg };
  const run = openTolerance(of, { seed: 3, statedOnly: true }, demands);
  expect(() => run.result()).toThrow('There are no draws yet');
  run.draw(3);
  expect(run.result().requirements[0]).toMatchObject({
    nominal: null,
    met: null,
    unknown: 3,
    percentiles: null,
    openBecause: expect.stringContaining('`controllerHardware`'),
  });
});
