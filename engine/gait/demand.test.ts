import { referenceStrides } from '@striderule/reference';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { curveMean, curveRms } from '../numeric/trapezoid.ts';
import { treadmillAnklePeak } from './ankle-sizing.ts';
import { curveAt, sampleCurve } from './curve.ts';
import { gaitDemand } from './demand.ts';
import type { StrideDemand } from './demand-result.ts';
import { hipPath } from './hip-path.ts';
import type { JointName, LegSegments, Wearer } from './stride.ts';
import type { StrideTask } from './task.ts';

const strides = referenceStrides();
const wearer: Wearer = { code: 'T', mass: 80, height: 1.75, side: 'left' };
const segment = (mass: number, inertia: number, length: number, x: number, z: number) => ({
  length,
  mass,
  inertia,
  centre: { x, z },
});
const segments: LegSegments = {
  thighLength: 0.42,
  thighPart: segment(1.3, 0.01, 0.1, 0, -0.35),
  shank: segment(2.9, 0.045, 0.43, 0.01, -0.17),
  foot: segment(1.1, 0.006, 0.2, 0.045, -0.045),
  sole: [],
};
const task = (stride: string, more: Partial<StrideTask> = {}): StrideTask => ({
  kind: 'stride',
  id: stride,
  title: stride,
  stride,
  coverage: 0,
  ankleSizing: 'curve',
  duty: {},
  ...more,
});
const demand = (t: StrideTask, leg = segments, who = wearer) =>
  gaitDemand(t, strides, who, leg) as StrideDemand;

// Bovi and others, Gait & Posture 33 (2011) 6–13, addendum, adults at natural speed: printed peaks of the group means.
test('the sign pin: natural push-off is −1.32 N·m/kg at 46 % and +3.27 W/kg at 55 %, in engine signs', () => {
  const ankle = strides['walk-natural'].joints.ankle!;
  const moment = sampleCurve(ankle.moment!).value;
  const at = moment.indexOf(Math.min(...moment));
  expect(moment[at]).toBeCloseTo(-1.32, 1);
  expect(Math.abs(moment[at] + 1.32)).toBeLessThan(0.02);
  expect(Math.abs(at / 2 - 46)).toBeLessThanOrEqual(1.5);
  const printed = sampleCurve(ankle.power!).value;
  const push = printed.indexOf(Math.max(...printed));
  expect(Math.abs(printed[push] - 3.27)).toBeLessThan(0.03);
  expect(Math.abs(push / 2 - 55)).toBeLessThanOrEqual(1);
  // The curve of means gives 3.27, the mean of the trials' own peaks is printed as 3.50: moment × velocity lies between.
  const d = demand(task('walk-natural')).joints.ankle!;
  const product = Math.max(...d.humanMoment.map((m, i) => (m * d.velocity[i]) / wearer.mass));
  expect(product).toBeGreaterThan(3.27);
  expect(product).toBeLessThan(3.5);
});

test('knee and hip turn too: early stance extends both, so the engine reads negative', () => {
  for (const id of ['walk-slow', 'walk-natural', 'walk-fast']) {
    expect(curveAt(strides[id].joints.knee!.moment!, 14).value).toBeLessThan(-0.2);
    expect(curveAt(strides[id].joints.hip!.moment!, 6).value).toBeLessThan(-0.2);
    expect(curveAt(strides[id].joints.knee!.angle, 72).value).toBeGreaterThan(1);
  }
});

// The identity that ties angle, moment, power and stride time of one source together: RMS as a share of the power's range.
const IDENTITY: [JointName, number][] = [
  ['ankle', 0.02],
  ['knee', 0.05],
  ['hip', 0.05],
];
for (const id of ['walk-slow', 'walk-natural', 'walk-fast']) {
  for (const [joint, bound] of IDENTITY) {
    test(`${id} ${joint}: moment × velocity is the published power within ${100 * bound} % of range`, () => {
      const curves = strides[id].joints[joint]!;
      const rate = 100 / strides[id].strideTime;
      const moment = sampleCurve(curves.moment!).value;
      const velocity = sampleCurve(curves.angle).slope;
      const power = sampleCurve(curves.power!).value;
      const error = power.map((p, i) => p - moment[i] * velocity[i] * rate);
      expect(curveRms(error)).toBeLessThan(bound * (Math.max(...power) - Math.min(...power)));
    });
  }
}

// Camargo and others, J. Biomechanics 119 (2021) 110320: net ankle work of the group means, J/kg, printed.
const NET_WORK: [string, number][] = [
  ['ankle-level', 0.158],
  ['ankle-treadmill-1p20', 0.121],
  ['ankle-ramp-up', 0.266],
  ['ankle-ramp-down', -0.096],
  ['ankle-stair-up', 0.41],
  ['ankle-stair-down', -0.445],
];
for (const [id, work] of NET_WORK) {
  test(`${id}: its power curve integrates to the printed ${work} J/kg`, () => {
    const power = sampleCurve(strides[id].joints.ankle!.power!).value;
    expect(curveMean(power) * strides[id].strideTime).toBeCloseTo(work, 2);
  });
}

test('peaks of the openly licensed ankle curves are the printed ones', () => {
  // same source, peaks table: moment N·m/kg
  for (const [id, peak] of [
    ['ankle-level', 1.52],
    ['ankle-treadmill-1p20', 1.53],
    ['ankle-ramp-up', 1.75],
    ['ankle-ramp-down', 1.23],
  ] as const) {
    expect(Math.abs(Math.min(...sampleCurve(strides[id].joints.ankle!.moment!).value) + peak)).toBeLessThan(
      0.01,
    );
  }
});

test('running joint speeds are those derived from the published angles: 632 °/s knee extension', () => {
  // Fukuchi, Duarte & Ferber data set at 2.5 m/s, 0.741 s: knee +502/−632, ankle +256/−332 °/s; digitised to about 5 %.
  const d = demand(task('run-2p5'));
  const deg = (joint: JointName) => d.joints[joint]!.velocity.map((x) => (x * 180) / Math.PI);
  expect(Math.abs(Math.min(...deg('knee')) / -632 - 1)).toBeLessThan(0.07);
  expect(Math.abs(Math.max(...deg('knee')) / 502 - 1)).toBeLessThan(0.07);
  expect(d.joints.knee!.moment.every(Number.isNaN)).toBe(true);
  expect(d.joints.knee!.peak.moment).toBeNaN();
  expect(d.notes[0]).toBe(
    'No moment was published for the hip, knee, ankle: speed only, no torque, no heat, no energy.',
  );
});

test('the treadmill regression gives the printed 1.53 N·m/kg at 1.20 m/s within its own RMS of 0.016', () => {
  expect(Math.abs(treadmillAnklePeak(1.2) - 1.53)).toBeLessThan(0.016);
});

test('ankle sizing: able-bodied, fast, intact side', () => {
  const peak = (id: string, ankleSizing: StrideTask['ankleSizing']) =>
    Math.max(...demand(task(id, { ankleSizing })).joints.ankle!.humanMoment.map(Math.abs)) / wearer.mass;
  expect(peak('walk-natural', 'able-bodied')).toBeCloseTo(treadmillAnklePeak(1.22), 9);
  expect(peak('walk-fast', 'able-bodied')).toBeCloseTo(1.8, 9);
  expect(peak('walk-slow', 'able-bodied')).toBeCloseTo(treadmillAnklePeak(0.842), 9);
  const at = demand(task('walk-natural', { speed: 1.4, ankleSizing: 'intact side' }));
  // Hood and others, Scientific Data 7 (2020) 150: 2.02 N·m/kg at 1.4 m/s, intact side
  expect(Math.max(...at.joints.ankle!.humanMoment.map(Math.abs)) / wearer.mass).toBeCloseTo(2.02, 2);
});

test('coverage scales the whole curve: zero stays zero and the power identity holds', () => {
  const [mean, covered] = [demand(task('walk-natural')), demand(task('walk-natural', { coverage: 1.645 }))];
  const sd = strides['walk-natural'].joints.knee!.momentPeakSd!;
  const [a, b] = [mean.joints.knee!, covered.joints.knee!];
  const peak = Math.max(...a.humanMoment.map(Math.abs)) / wearer.mass;
  a.humanMoment.forEach((m, i) => {
    expect(b.humanMoment[i]).toBeCloseTo(m * (1 + (1.645 * sd) / peak), 9);
  });
  b.power.forEach((p, i) => {
    expect(p).toBeCloseTo(b.moment[i] * b.velocity[i], 12);
  });
});

test('a leg without mass asks for nothing in swing, and the blend has no step', () => {
  const empty = { ...segments, shank: segment(0, 0, 0.43, 0, -0.2), foot: segment(0, 0, 0.2, 0, 0) };
  const d = demand(task('walk-natural'), empty);
  for (let i = 140; i < 188; i++) expect(d.joints.knee!.moment[i]).toBeCloseTo(0, 12);
  const weight = d.stanceWeight;
  for (let i = 1; i < weight.length; i++) expect(Math.abs(weight[i] - weight[i - 1])).toBeLessThan(0.16);
  expect([weight[0], weight[60], weight[150], weight[200]]).toEqual([1, 1, 0, 1]);
});

test('swing moments of the device are linear in its mass; stance does not know of it', () => {
  const heavy = {
    ...segments,
    shank: { ...segments.shank, mass: 5.8, inertia: 0.09 },
    foot: { ...segments.foot, mass: 2.2, inertia: 0.012 },
  };
  const [a, b] = [demand(task('walk-fast')), demand(task('walk-fast'), heavy)];
  for (let i = 130; i < 188; i++)
    expect(b.joints.knee!.moment[i]).toBeCloseTo(2 * a.joints.knee!.moment[i], 9);
  for (let i = 0; i < 110; i++) expect(b.joints.knee!.moment[i]).toBe(a.joints.knee!.moment[i]);
});

test('the mass budget is the difference two whole legs make', () => {
  const d = demand(task('walk-natural'));
  const heavier = { ...segments, foot: { ...segments.foot, mass: segments.foot.mass + 0.1 } };
  const b = demand(task('walk-natural'), heavier);
  const difference = b.joints.knee!.moment.map((m, i) => Math.abs(m - d.joints.knee!.moment[i]));
  const foot = d.massBudget.find((c) => c.where === 'foot')!;
  expect(foot.kneeMoment).toBeCloseTo(Math.max(...difference), 9);
  expect(foot.kneeWork).toBeCloseTo(b.joints.knee!.work.positive - d.joints.knee!.work.positive, 6);
  expect(foot.hipMoment).toBeGreaterThan(d.massBudget.find((c) => c.where === 'shank')!.hipMoment);
});

test('the body gains no momentum over a stride: both legs bear one weight within 5 %, and the hip’s mean acceleration is zero', () => {
  for (const id of ['walk-slow', 'walk-natural', 'walk-fast']) {
    const vertical = sampleCurve(strides[id].groundForce!.vertical).value;
    expect(Math.abs(2 * curveMean(vertical) - 1)).toBeLessThan(0.05);
    const { x, z } = hipPath(strides[id]);
    expect(curveMean(z)).toBeCloseTo(0, 10);
    expect(curveMean(x)).toBeCloseTo(0, 10);
  }
});

test('moments are linear in body mass, whatever the task', () => {
  fc.assert(
    fc.property(
      fc.constantFrom('walk-slow', 'stair-ascent', 'ankle-ramp-up'),
      fc.double({ min: 40, max: 150, noNaN: true }),
      (id, mass) => {
        const [a, b] = [demand(task(id)), demand(task(id), segments, { ...wearer, mass })];
        return b.joints.ankle!.humanMoment.every(
          (m, i) => Math.abs(m - (a.joints.ankle!.humanMoment[i] * mass) / wearer.mass) < 1e-9,
        );
      },
    ),
    { seed: 3, numRuns: 30 },
  );
});

test('an unknown stride is named with its neighbour', () => {
  expect(() => demand(task('walk-natral'))).toThrow(
    'tasks.walk-natral: There is no stride `walk-natral`. Did you mean `walk-natural`?',
  );
});

test('a speed asked of what is not level walking is refused, and so is one of no stride', () => {
  expect(() => demand(task('stair-ascent', { speed: 1.4 }))).toThrow(
    'tasks.stair-ascent.speed: `stair-ascent` is stair ascent, and only level walking is interpolated in speed. Leave `speed` out, or name a stride of level walking.',
  );
  expect(() => demand(task('walk-natral', { speed: 1.4 }))).toThrow('Did you mean `walk-natural`?');
  expect(demand(task('walk-natural', { speed: 1.4 })).speed).toBe(1.4);
});

test('a missing value in a column stops the demand, and names the column', () => {
  const knee = strides['stair-ascent'].joints.knee!;
  if (knee.moment?.form !== 'table') throw new Error('a table ships');
  const moment = { ...knee.moment, value: knee.moment.value.map((x, i) => (i === 4 ? Number.NaN : x)) };
  const holed = { ...strides['stair-ascent'], joints: { knee: { ...knee, moment } } };
  expect(() => gaitDemand(task('stair-ascent'), { 'stair-ascent': holed }, wearer, segments)).toThrow(
    'strides.stair-ascent.joints.knee.moment: Row 5 of 26 holds no number',
  );
});

test('a joint’s moment is known throughout or nowhere, whatever stride, leg and wearer', () => {
  const positive = (max: number) => fc.double({ min: 0.01, max, noNaN: true });
  fc.assert(
    fc.property(
      fc.constantFrom(...Object.keys(strides)),
      positive(9),
      positive(4),
      fc.double({ min: 40, max: 160, noNaN: true }),
      fc.double({ min: 0, max: 3, noNaN: true }),
      (id, shank, foot, mass, coverage) => {
        const leg = {
          ...segments,
          shank: { ...segments.shank, mass: shank },
          foot: { ...segments.foot, mass: foot },
        };
        const d = demand(task(id, { coverage, ankleSizing: 'able-bodied' }), leg, { ...wearer, mass });
        return Object.entries(d.joints).every(([joint, j]) => {
          const published = strides[id].joints[joint as JointName]?.moment !== undefined;
          const known = [...j.moment, ...j.power, j.work.positive, j.work.negative, j.peak.moment];
          return (
            known.every((x) => (published ? Number.isFinite(x) : Number.isNaN(x))) &&
            [...j.angle, ...j.velocity, ...j.acceleration].every(Number.isFinite) &&
            j.power.every((p, i) => Object.is(p, j.moment[i] * j.velocity[i]) || Number.isNaN(p))
          );
        });
      },
    ),
    { seed: 10, numRuns: 80 },
  );
});

test('the demand passes from stance to swing without a step: no sample jumps more than the curves themselves do', () => {
  for (const id of ['walk-slow', 'walk-natural', 'walk-fast', 'stair-ascent', 'stair-descent']) {
    const d = demand(task(id));
    for (const joint of ['knee', 'ankle'] as const) {
      const { moment, humanMoment, deviceMoment } = d.joints[joint]!;
      for (let i = 1; i < moment.length; i++) {
        const apart = Math.abs(humanMoment[i - 1] - deviceMoment[i - 1]);
        const own = Math.max(
          Math.abs(humanMoment[i] - humanMoment[i - 1]),
          Math.abs(deviceMoment[i] - deviceMoment[i - 1]),
        );
        // convex mixing: a step is at most the curves' own and the change of weight times their distance
        expect(Math.abs(moment[i] - moment[i - 1])).toBeLessThanOrEqual(
          own + Math.abs(d.stanceWeight[i] - d.stanceWeight[i - 1]) * apart + 1e-9,
        );
      }
    }
  }
});
