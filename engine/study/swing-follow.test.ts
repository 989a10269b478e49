import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { curveAt } from '../gait/curve.ts';
import { taskStride } from '../gait/demand.ts';
import { hipPath } from '../gait/hip-path.ts';
import { legPose } from '../gait/pose.ts';
import type { Stride, StrideCurve } from '../gait/stride.ts';
import { evaluateDesign } from './design.ts';
import { metricCatalogue } from './metrics.ts';
import { PHASE_METHODS } from './phase-methods.ts';
import type { StudyInput } from './study-input.ts';
import { swingClearance } from './swing-clearance.ts';
import { type SwingFollow, swingFollow } from './swing-follow.ts';
import { STEADY_NOISE, swingSteadiness } from './swing-steadiness.ts';
import { swingWhatIf } from './swing-what-if.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const DEG = Math.PI / 180;
const LEVEL = ['walk-slow', 'walk-natural', 'walk-fast', 'walk-1p4'];

/** What is known, or a failed test that says why not. */
function known<T>(of: T | { readonly openBecause: string }): T {
  if (typeof of === 'object' && of !== null && 'openBecause' in of) throw new Error(of.openBecause);
  return of as T;
}

// A walk of few harmonics, so that its trajectories are exact and all that is left is the controller's.
const series = (mean: number, cos: number[], sin: number[]): StrideCurve => ({
  form: 'series',
  mean: mean * DEG,
  drift: 0,
  cos: cos.map((c) => c * DEG),
  sin: sin.map((c) => c * DEG),
});
const plain: Stride = {
  ...input.strides[input.tasks.flatMap((t) => (t.kind === 'stride' ? [t.stride] : []))[0]!]!,
  id: 'plain',
  activity: 'recorded',
  strideTime: 1.1,
  stance: 0.62,
  thigh: series(5, [20, 0], [0, -5]),
  joints: {
    knee: { angle: series(24, [-4, -13], [-19, 0]) },
    ankle: { angle: series(0, [3, 0], [0, 8]) },
  },
};
const withTimes = (
  period: number,
  delayPeriods: number,
  delay: number,
  stride: Stride = plain,
): StudyInput => ({
  ...input,
  strides: { plain: stride },
  tasks: [
    {
      kind: 'stride',
      id: 'plain',
      title: 'Plain walk',
      stride: 'plain',
      coverage: 0,
      ankleSizing: 'curve',
      duty: {},
    },
  ],
  leg: { ...input.leg, controller: { period, delayPeriods }, thighSensor: { delay } },
});
const at = (curve: StrideCurve | undefined, place: number) => curveAt(curve!, 100 * place).value;
/** Where the plain thigh has gone this share of its way to the peak, by small steps. */
function placeOf(share: number): number {
  const on = at(plain.thigh, plain.stance);
  const peak = Math.max(...Array.from({ length: 3801 }, (_, k) => at(plain.thigh, 0.62 + k * 1e-4)));
  let place: number = plain.stance;
  while (at(plain.thigh, place) < on + share * (peak - on)) place += 1e-5;
  return place;
}

describe('a plain walk', () => {
  test('without delay the command is the stride, but for the soft end of the finish', () => {
    const { course, knee, finish } = known(swingFollow(withTimes(1e-3, 0, 0), 'plain'));
    expect(finish).toBe(true);
    course.place.forEach((place, k) => {
      const allowed = place > 0.98 ? 0.006 : 1.5e-3;
      expect(Math.abs(course.phase[k]! - place), `${place}`).toBeLessThan(allowed);
    });
    expect(knee.rms).toBeLessThan(0.5 * DEG);
  });

  test('a delay of the electronics puts the phase back by its share of the stride; one of the sensor shifts the latch too', () => {
    const told = (of: StudyInput): { place: number; phase: number } => {
      const { course } = known(swingFollow(of, 'plain'));
      const k = course.place.findIndex((place) => place > 0.75);
      return { place: course.place[k]!, phase: course.phase[k]! };
    };
    const none = told(withTimes(1e-3, 0, 0));
    const electronics = told(withTimes(1e-3, 10, 0));
    const lag = 0.01 / 1.1;
    expect(electronics.place - electronics.phase - (none.place - none.phase)).toBeCloseTo(lag, 3);
    // by hand: the share of the way that a thigh seen 10 ms late has gone since it was latched, late as well
    const sensor = told(withTimes(1e-3, 0, 0.01));
    const [on, late, full] = [0.62, 0.62 - lag, placeOf(0.9)].map((place) => at(plain.thigh, place)) as [
      number,
      number,
      number,
    ];
    const share = (at(plain.thigh, sensor.place - lag) - late) / (full - late);
    let expected = 0.62;
    while (at(plain.thigh, expected) < on + share * (full - on)) expected += 1e-5;
    expect(sensor.phase).toBeCloseTo(expected, 3);
  });

  test('a step a fifth short leaves the knee where the stride has it at four fifths of the way', () => {
    const { shortStep } = known(swingWhatIf(withTimes(1e-4, 0, 0), 'plain'));
    const knee = (place: number) => at(plain.joints.knee?.angle, place);
    expect(Math.abs(shortStep - (knee(placeOf(0.8)) - knee(1)))).toBeLessThan(0.1 * DEG);
    expect(shortStep).toBeGreaterThan(10 * DEG);
  });

  test('held at its peak the finish takes the knee from where the thigh leads no more to contact; off, it stays', () => {
    const of = withTimes(1e-4, 0, 0);
    const { raisedHold } = known(swingWhatIf(of, 'plain'));
    const [from, to] = [placeOf(0.9), 1];
    const [knee, ankle] = [plain.joints.knee?.angle, plain.joints.ankle?.angle];
    expect(Math.abs(raisedHold.kneeExtends - (at(knee, from) - at(knee, to)))).toBeLessThan(0.05 * DEG);
    const peak = Math.max(...Array.from({ length: 381 }, (_, k) => at(plain.thigh, 0.62 + k * 1e-3)));
    const lowest = (place: number) =>
      legPose(input.leg.segments, peak, at(knee, place), at(ankle, place)).lowest;
    expect(Math.abs(raisedHold.soleRises - (lowest(to) - lowest(from)))).toBeLessThan(1e-3);
    expect(known(swingWhatIf(of, 'plain', { finish: false })).raisedHold).toEqual({
      kneeExtends: 0,
      soleRises: 0,
    });
    expect(known(swingFollow(of, 'plain', { finish: false })).finish).toBe(false);
  });

  test('a tick half as long halves what pace does; the latched phase stands still', () => {
    const of = (period: number) => known(swingSteadiness(withTimes(period, 1, 0.002), 'plain'));
    const [coarse, fine] = [of(1e-3), of(2.5e-4)];
    expect(coarse.warp).toBeLessThanOrEqual(1e-3);
    expect(fine.warp).toBeLessThan(coarse.warp / 2);
    expect(coarse.hold).toBe(0);
  });

  test('an oscillator walks on and a phase plane falls back while the thigh is held; pace moves both', () => {
    const of = (method: (typeof PHASE_METHODS)[number]) =>
      known(swingSteadiness(withTimes(1e-3, 1, 0.002), 'plain', { method }));
    expect(of('oscillator').hold).toBeGreaterThan(0.1);
    expect(of('plane').hold).toBeGreaterThan(0.05);
    for (const method of ['oscillator', 'plane'] as const) expect(of(method).warp).toBeGreaterThan(0.01);
    expect(of('piecewise').hold).toBe(0);
  });

  test('as the thigh goes forward the latched phase never falls; noise moves it by no more than a few steps of it', () => {
    const of = withTimes(1e-3, 1, 0.002);
    const by = (method: (typeof PHASE_METHODS)[number]) => known(swingSteadiness(of, 'plain', { method }));
    const latch = by('latch');
    expect(latch.falls).toBe(0);
    expect(by('piecewise').falls).toBe(0);
    // the latch at toe-off and the thigh now are noisy, each at most five deviations; S is steepest where the thigh is slowest before
    // it no longer leads
    const thigh = (place: number) => at(plain.thigh, place);
    const places = Array.from({ length: 3800 }, (_, k) => 0.62 + 1e-4 * k);
    const peak = Math.max(...places.map(thigh));
    const leads = places.filter((p) => thigh(p) < thigh(0.62) + 0.9 * (peak - thigh(0.62)) && p < 0.9);
    const steepest = Math.max(...leads.map((p) => 1e-4 / (thigh(p + 1e-4) - thigh(p))));
    expect(latch.noise).toBeGreaterThan(0);
    expect(latch.noise).toBeLessThan(2 * 5 * STEADY_NOISE.thigh * steepest);
  });

  test('noise of the phase plane: as small errors propagate through atan2', () => {
    const { noise } = known(swingSteadiness(withTimes(1e-3, 1, 0.002), 'plain', { method: 'plane' }));
    const thigh = (x: number) => at(plain.thigh, x - Math.floor(x));
    const rate = (x: number) => (thigh(x + 5e-4) - thigh(x - 5e-4)) / 1e-3 / plain.strideTime;
    const all = Array.from({ length: 1000 }, (_, k) => thigh(k / 1000));
    const centre = (Math.min(...all) + Math.max(...all)) / 2;
    const omega = (2 * Math.PI) / plain.strideTime;
    let [square, n] = [0, 0];
    for (let x = 0.63; x < 0.995; x += 1e-3) {
      const [c, v] = [thigh(x) - centre, -rate(x) / omega];
      const size = c * c + v * v;
      // rate of the phase along the stride, by differences
      const angle = (p: number) => Math.atan2(-rate(p) / omega, thigh(p) - centre);
      const turn = angle(x + 1e-3) - angle(x - 1e-3);
      const slope = Math.atan2(Math.sin(turn), Math.cos(turn)) / 2e-3;
      const spread = Math.hypot(v * STEADY_NOISE.thigh, (c * STEADY_NOISE.rate) / omega) / size;
      square += (spread / slope) ** 2;
      n++;
    }
    expect(Math.abs(noise / Math.sqrt(square / n) - 1)).toBeLessThan(0.1);
  });

  test('at the pace that they know, every phase finds its way to contact', () => {
    for (const method of PHASE_METHODS) {
      const { course, phaseError } = known(swingFollow(withTimes(1e-3, 0, 0), 'plain', { method }));
      expect(course.place[0]).toBeCloseTo(0.62, 2);
      expect(course.place.at(-1)).toBeCloseTo(1, 2);
      // two straight lines are full where the thigh is back at its angle of contact: the rest of swing they do not see
      expect(phaseError, method).toBeLessThan(method === 'piecewise' ? 0.3 : 0.03);
    }
  });
});

describe('the demo study', () => {
  test.each(LEVEL)(
    '%s: phase within a hundredth, still when held, indifferent to pace within a thousandth',
    (id) => {
      const follow = known(swingFollow(input, id));
      expect(follow.trajectories).toBe('4 level-walking tasks, linear in speed');
      expect(follow.phaseError).toBeLessThan(0.01);
      const { hold, warp } = known(swingSteadiness(input, id));
      expect(hold).toBeLessThanOrEqual(1e-3);
      expect(warp).toBeLessThanOrEqual(1e-3);
    },
  );

  // docs/control.md tells it: read from the published curves themselves, by small steps
  test('the worked example: natural walking, a fifth short', () => {
    const task = input.tasks.find(({ id }) => id === 'walk-natural');
    if (task?.kind !== 'stride') throw new Error('a stride was expected');
    const { stride } = taskStride(task, input.strides, input.wearer);
    const thigh = (place: number) => at(stride.thigh, place) / DEG;
    const places = Array.from({ length: 3737 }, (_, k) => stride.stance + k * 1e-4);
    const peak = Math.max(...places.map(thigh));
    const on = thigh(stride.stance);
    expect(on).toBeCloseTo(-6.8, 1);
    expect(peak).toBeCloseTo(25.1, 1);
    const whereGone = (share: number) => places.find((place) => thigh(place) >= on + share * (peak - on))!;
    expect(whereGone(0.9)).toBeCloseTo(0.8, 2);
    expect(whereGone(0.8)).toBeCloseTo(0.77, 2);
    const knee = (place: number) => at(stride.joints.knee?.angle, place) / DEG;
    expect(Math.abs(knee(whereGone(0.8)) - 60)).toBeLessThan(1);
    const left = knee(whereGone(0.8)) - knee(1);
    expect(Math.abs(left - 52)).toBeLessThan(1);
    // the controller's own, from the fit over speed
    expect(Math.abs(known(swingWhatIf(input, 'walk-natural')).shortStep / DEG - left)).toBeLessThan(2);
  });

  test('stairs wait where level walking finishes', () => {
    expect(known(swingFollow(input, 'stair-up')).finish).toBe(false);
    expect(known(swingFollow(input, 'stair-up', { finish: true })).finish).toBe(true);
  });

  test.each([
    [
      'stair-down',
      'From toe-off to its peak the thigh moves 8.5°, too short a way for a phase, which needs 15°',
    ],
    ['run-2p5', 'its stride has no thigh angle'],
    ['ramp-up', 'its stride has no thigh and no knee angle'],
    ['stand', 'it has no stride'],
  ])('%s cannot be judged, and why', (id, openBecause) => {
    expect(swingFollow(input, id)).toEqual({ openBecause });
    expect(swingSteadiness(input, id)).toEqual({ openBecause });
    expect(swingWhatIf(input, id)).toEqual({ openBecause });
  });

  // Newton's second law of the whole body, twice integrated: nothing of the other leg is in it but its force.
  test.each(LEVEL)(
    '%s: the forefoot’s clearance by the other leg and by the ground force agree within a centimetre',
    (id) => {
      const clearance = known(swingClearance(input, known(swingFollow(input, id))));
      const task = input.tasks.find((each) => each.id === id);
      if (task?.kind !== 'stride') throw new Error('a stride was expected');
      const { stride } = taskStride(task, input.strides, input.wearer);
      const { z } = hipPath(stride);
      const dt = stride.strideTime / 200;
      const path = new Float64Array(201);
      let speed = 0;
      const speeds = Float64Array.from({ length: 200 }, (_, k) => {
        const before = speed;
        speed += z[k]! * dt;
        return before;
      });
      const mean = speeds.reduce((sum, v) => sum + v, 0) / 200;
      for (let k = 0; k < 200; k++) path[k + 1] = path[k]! + (speeds[k]! - mean) * dt;
      const lowest = (percent: number, from = 0) => {
        const pose = legPose(
          input.leg.segments,
          at(stride.thigh, percent / 100),
          at(stride.joints.knee?.angle, percent / 100),
          at(stride.joints.ankle?.angle, percent / 100),
        );
        return Math.min(...pose.sole.filter((_, i) => input.leg.segments.sole[i]!.x > from).map((p) => p.z));
      };
      // its mean height in single support is that of the leg that stands
      const standing = Array.from({ length: 76 }, (_, k) => 12 + k / 2);
      const height = standing.reduce((sum, p) => sum - lowest(p, -1) - path[2 * p]!, 0) / standing.length;
      const middle = Array.from({ length: 200 }, (_, k) => k / 2).filter((p) => {
        const part = (p / 100 - stride.stance) / (1 - stride.stance);
        return part >= 0.25 && part <= 0.75;
      });
      const byForce = Math.min(...middle.map((p) => height + path[2 * p]! + lowest(p)));
      expect(Math.abs(clearance.own - byForce)).toBeLessThan(0.01);
      // with nothing in the way people clear 11 ± 6 mm, with obstacles in sight 22 ± 7 mm: Schulz, J. Biomech. 44 (2011) 1277
      expect(clearance.own).toBeGreaterThan(0.0111 - 2 * 0.0057);
      expect(clearance.own).toBeLessThan(0.0222 + 2 * 0.0073);
    },
  );
});

describe('what is missing', () => {
  const { controller: _, ...noController } = input.leg;
  const { thighSensor: __, ...noSensor } = input.leg;
  test.each([
    [noController, 'the leg file does not say how often the controller runs: add `controllerHardware`'],
    [noSensor, 'the leg file does not say how late the thigh is read: add `delay` under `thighSensor`'],
    [
      { ...input.leg, thighSensor: {} },
      'the leg file does not say how late the thigh is read: add `delay` under `thighSensor`',
    ],
  ])('is asked for by name, in the ledger as well', (leg, openBecause) => {
    const study = { ...input, leg };
    expect(swingFollow(study, 'walk-natural')).toEqual({ openBecause });
    const design = evaluateDesign(study);
    for (const name of ['toeClearance', 'swingKneeError', 'swingHold', 'warpError', 'shortStepFlexion'])
      expect(metricCatalogue[name]!.value(study, design, 'knee', undefined)).toEqual({ openBecause });
  });

  test('a foot without a forefoot, and ground that is not known', () => {
    const follow: SwingFollow = known(swingFollow(input, 'walk-natural'));
    const heel = { ...input.leg.segments, sole: [{ x: -0.05, z: -0.08 }] };
    expect(swingClearance({ ...input, leg: { ...input.leg, segments: heel } }, follow)).toEqual({
      openBecause: 'the leg file has no sole point ahead of the ankle: add them to `sole` under `foot`',
    });
    expect(swingClearance(input, known(swingFollow(input, 'own-walk')))).toEqual({
      openBecause: 'the ground under its swing is not known to be level',
    });
  });
});
