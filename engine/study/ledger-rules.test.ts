// What the ledger must never hide, each on the demo study with one thing changed.
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import type { Requirement } from '../evidence/requirement.ts';
import { spreadDeviation } from '../quantity/spread.ts';
import { evaluateDesign, studyDemands } from './design.ts';
import { evaluateStudy } from './evaluate.ts';
import { metricCatalogue } from './metrics.ts';
import { scheduleRatio } from './schedule-ratio.ts';
import type { Leg, StudyInput } from './study-input.ts';
import { withValue } from './with-value.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const demands = studyDemands(input);
const asked = (more: Partial<Requirement>): Requirement => ({
  id: 'r',
  metric: 'torqueMargin',
  joint: 'ankle',
  bound: { kind: 'at least', value: 0.1 },
  because: 'test',
  ...more,
});
const ledgerOf = (study: StudyInput, more: Partial<Requirement>) =>
  evaluateStudy({ ...study, requirements: [asked(more)] }, demands).ledger[0]!;
const withSaturation = (amperes: number): Leg => {
  const ankle = input.leg.joints.ankle!;
  return {
    ...input.leg,
    joints: {
      ...input.leg.joints,
      ankle: { ...ankle, motor: { ...ankle.motor, saturationCurrent: amperes } },
    },
  };
};

// K_t·I_s is the most a saturating motor can give: 0.14847 N·m/A × 55 A = 8.17 N·m, less than fast walking asks.
test('a stride beyond saturation is not passed over: the worst current is unknown, and why', () => {
  const row = ledgerOf(
    { ...input, leg: withSaturation(55) },
    { metric: 'peakMotorCurrent', bound: { kind: 'at most', value: 1e3 } },
  );
  expect(row.state).toBe('open');
  expect(row.predicted).toBeNull();
  expect(row.openBecause).toMatch(
    /^Level walking 1\.97 m\/s: no current gives the 8\.65 N·m it asks of the motor, which is beyond saturation$|^Treadmill walking 1\.4 m\/s: no current gives/,
  );
});

// At 58.5 A the nominal peak of 8.65 N·m is just in reach of 8.685 N·m, and no longer with more drag and mesh loss.
test('a spread that leads beyond saturation leaves the requirement open, not met', () => {
  const row = ledgerOf(
    { ...input, leg: withSaturation(58.5) },
    { metric: 'peakMotorCurrent', task: 'walk-fast', bound: { kind: 'at most', value: 1e4 } },
  );
  expect(row.predicted).toBeGreaterThan(100);
  expect(row.interval).toBeNull();
  expect(row.state).toBe('open');
  expect(row.openBecause).toMatch(
    /^inside the bound, but within the spread of joints\.ankle\.[a-zA-Z.]+ it cannot be predicted: Level walking 1\.97 m\/s: no current gives/,
  );
});

test('of two driven joints a requirement must say which; the free swing is the knee’s', () => {
  const { joint: _, ...jointless } = asked({});
  const run = (more: object) =>
    evaluateStudy({ ...input, requirements: [{ ...jointless, ...more }] }, demands).ledger[0]!;
  expect(() => run({})).toThrow(
    'requirements.r: `torqueMargin` is of one joint, and the leg drives two. Add `joint: knee` or `joint: ankle`, or write the requirement once for each.',
  );
  expect(run({ metric: 'deadAngle' }).predicted).toBeGreaterThan(0);
  expect(ledgerOf(input, { metric: 'deadAngle', joint: 'ankle' }).openBecause).toBe(
    'only the knee swings free: the foot hangs from it',
  );
});

test('a knee that gravity never moves says so', () => {
  const leg = withValue(input.leg, 'joints.knee.transmission.outputBreakaway', 40);
  expect(ledgerOf({ ...input, leg }, { metric: 'deadAngle', joint: 'knee' }).openBecause).toBe(
    'breakaway is more than gravity’s torque at any angle: the unpowered knee never moves by itself',
  );
});

test('a linear motor carries the caution, a saturating one does not', () => {
  const linear = /^No saturation current is known/;
  expect(ledgerOf(input, {}).cautions.some((c) => linear.test(c))).toBe(true);
  expect(ledgerOf({ ...input, leg: withSaturation(200) }, {}).cautions.some((c) => linear.test(c))).toBe(
    false,
  );
  expect(ledgerOf(input, { metric: 'reflectedInertia' }).cautions.some((c) => linear.test(c))).toBe(false);
});

test('peaks-only tasks are judged as ranges and say that there is no curve', () => {
  const row = ledgerOf(input, { task: 'rise-from-chair', joint: 'knee' });
  // usable torque at the knee by hand over 1.97 N·m/kg × 82 kg, the upper end of the published range
  const usable = 22 * 0.94 * (1.5 * 20 * 4.949e-3 * 56.4 - 0.05) - 0.1;
  expect(row.predicted).toBeCloseTo(usable / (1.97 * 82), 3);
  expect(row.at).toMatch(/^Rising from a chair, published range 1\.06 … 4\.11; peaks only, no curve$/);
  expect(row.inputs.at(-1)).toEqual({ path: 'tasks.rise-from-chair', value: 'rise-from-chair', unit: '' });
  const speed = ledgerOf(input, { metric: 'speedMargin', task: 'rise-from-chair', joint: 'knee' });
  expect(speed.openBecause).toBe('task rise-from-chair has no knee motion');
});

// Park & Miller, Comm. ACM 31 (1988) 1192: minimal standard generator, so that the draws are the same everywhere.
test('intervals of the whole thread agree with plain draws through it', () => {
  let seed = 20260101;
  const uniform = () => {
    seed = (seed * 48271) % 2147483647;
    return seed / 2147483647;
  };
  const names = ['breakawayTorque', 'peakMotorTorque', 'speedMargin', 'deadAngle'] as const;
  const draws = names.map(() => [] as number[]);
  const few = { 'walk-fast': demands['walk-fast']!, 'run-2p5': demands['run-2p5']! };
  for (let k = 0; k < 1500; k++) {
    let { leg } = input;
    for (const s of input.spreads) {
      const half = s.range ?? spreadDeviation(s) * Math.sqrt(3);
      leg = withValue(leg, s.path, s.nominal + half * (2 * uniform() - 1));
    }
    const study = { ...input, leg };
    const design = evaluateDesign(study, few);
    names.forEach((name, n) => {
      const got = metricCatalogue[name].value(study, design, 'knee', undefined);
      draws[n].push('value' in got ? got.value : Number.NaN);
    });
  }
  names.forEach((name, n) => {
    const sorted = Float64Array.from(draws[n]).sort();
    const width = sorted[1425] - sorted[75];
    const requirements = [asked({ metric: name, joint: 'knee' })];
    const { interval } = evaluateStudy({ ...input, requirements }, few).ledger[0]!;
    // one uniform spread alone is 5.5 % too wide under a normal's quantiles; 1500 draws leave about 3 %
    expect(Math.abs((interval!.high - interval!.low) / width - 1), name).toBeLessThan(0.1);
  });
});

test('the ratio of least heat is where it says, and within the admissible ones', () => {
  const frictionless = (ratio: number): StudyInput => {
    const ankle = input.leg.joints.ankle!;
    const motor = { ...ankle.motor, coulombDrag: 0, viscousDrag: 0 };
    const transmission = { ...ankle.transmission, ratio, outputCoulomb: 0, outputViscous: 0 };
    return {
      ...input,
      leg: { ...input.leg, joints: { ankle: { ...ankle, motor, transmission } } },
    };
  };
  const rms = (ratio: number) => evaluateDesign(frictionless(ratio), demands).schedule.ankle!.rmsTorque;
  const { optimum, admissible } = scheduleRatio(frictionless(22), evaluateDesign(input, demands), 'ankle')!;
  expect(rms(optimum)).toBeLessThan(rms(optimum * 1.02));
  expect(rms(optimum)).toBeLessThan(rms(optimum / 1.02));
  expect(rms(admissible!.least)).toBeCloseTo(input.leg.joints.ankle!.motor.continuousTorque!, 9);
  expect(optimum).toBeGreaterThan(admissible!.least);
});
