import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { SENSOR_ERRORS } from '../control/sensed-thigh.ts';
import type { ThighSensor } from '../control/thigh-sensor.ts';
import { curveAt } from '../gait/curve.ts';
import { taskStride } from '../gait/demand.ts';
import { evaluateDesign } from './design.ts';
import { heardWalk, sensorOf } from './heard-walk.ts';
import { metricCatalogue } from './metrics.ts';
import { type SensedError, type SensorBudget, sensedSwing, sensorBudget } from './sensor-budget.ts';
import type { StudyInput } from './study-input.ts';
import { type WalkedStride, walkedCourse, walkedStride } from './walked-course.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);

/** What is known, or a failed test that says why not. */
function known<T>(of: T | { readonly openBecause: string }): T {
  if (typeof of === 'object' && of !== null && 'openBecause' in of) throw new Error(of.openBecause);
  return of as T;
}

const strideOf = (id: string) => {
  const task = input.tasks.find((each) => each.id === id)!;
  if (task.kind !== 'stride') throw new Error('no stride');
  return taskStride(task, input.strides, input.wearer).stride;
};
const natural: WalkedStride = known(walkedStride(strideOf('walk-natural')));
const fast: WalkedStride = known(walkedStride(strideOf('walk-fast')));
const withSensor = (more: Partial<ThighSensor>): StudyInput => ({
  ...input,
  leg: { ...input.leg, thighSensor: { ...input.leg.thighSensor!, ...more } },
});
const PERFECT: Partial<ThighSensor> = {
  poseError: 0,
  gyroNoise: 0,
  accelerometerNoise: 0,
  bias: 0,
  drift: 0,
  accelerometerBias: 0,
  delay: 0,
  mounting: { frequency: 2000, damping: 0.7 },
};

describe('strides in a row', () => {
  const dt = 1e-3;
  const course = walkedCourse(natural, 2, dt, fast, 2);
  const { angle, rate, acceleration } = course.motion;

  test('rate and acceleration are those of the angle, also while one stride passes into another', () => {
    const contacts = new Set<number>();
    for (let k = 1; k < angle.length - 1; k++)
      if (Math.floor(course.place[k + 1]!) !== Math.floor(course.place[k - 1]!)) contacts.add(k);
    for (let k = 1; k < angle.length - 1; k++) {
      // where another stride time begins the pace steps
      if (contacts.has(k)) continue;
      expect(Math.abs((angle[k + 1]! - angle[k - 1]!) / (2 * dt) - rate[k]!)).toBeLessThan(2e-3);
      expect(Math.abs((rate[k + 1]! - rate[k - 1]!) / (2 * dt) - acceleration[k]!)).toBeLessThan(1);
    }
  });

  test('it begins as the one and ends as the other', () => {
    const at = (walked: WalkedStride, t: number) =>
      curveAt(walked.thigh, (100 * (t % walked.stride.strideTime)) / walked.stride.strideTime).value;
    for (let k = 0; k < 2000; k += 7) expect(angle[k]).toBeCloseTo(at(natural, k * dt), 6);
    const start = 2 * 1.1 + (1.1 + 0.85) / 2;
    for (let k = Math.ceil(start / dt); k < angle.length; k += 7)
      expect(angle[k]).toBeCloseTo(at(fast, k * dt - start), 6);
    expect(course.place.at(-1)).toBeCloseTo(5, 2);
  });

  test('a thigh that does not end where it began is refused: a gyro hears no jump', () => {
    expect(walkedStride(strideOf('stair-up'))).toEqual({
      openBecause: 'its thigh ends -48.0° from where it began, so it cannot be walked stride after stride',
    });
    expect(walkedStride(strideOf('ramp-up'))).toEqual({ openBecause: 'its stride has no thigh angle' });
  });
});

describe('the error budget of the demo study’s thigh sensor', () => {
  const budget: SensorBudget = known(sensorBudget(input, 'walk-natural'));
  const alone = (source: string): SensedError => budget.sources.find((each) => each.source === source)!.alone;

  test('every source is there once, the largest first', () => {
    expect(budget.sources.map(({ source }) => source).sort()).toEqual([...SENSOR_ERRORS].sort());
    const rms = budget.sources.map((source) => source.alone.thigh.rms);
    expect(rms).toEqual(rms.toSorted((a, b) => b - a));
  });

  test('delay alone is the thigh’s own way in that time: closed form over the stride’s curve', () => {
    const { strideTime } = natural.stride;
    const delay = input.leg.thighSensor!.delay!;
    const at = (t: number) =>
      curveAt(natural.thigh, (100 * ((t + strideTime) % strideTime)) / strideTime).value;
    let square = 0;
    for (let k = 0; k < 1100; k++) square += (at(k / 1000 - delay) - at(k / 1000)) ** 2 / 1100;
    expect(alone('delay').thigh.rms / Math.sqrt(square)).toBeCloseTo(1, 2);
    // one minus nothing: forward and back cancel over a stride
    expect(Math.abs(alone('delay').thigh.mean)).toBeLessThan(1e-5);
  });

  test('pose and a tilted accelerometer are what they are: ε, and about bias ÷ g', () => {
    const { poseError, accelerometerBias } = input.leg.thighSensor!;
    expect(Math.abs(alone('mounting pose').thigh.mean)).toBeCloseTo(poseError!, 4);
    // the thigh swings, the bias turns with it and has a part along the thigh: a tenth
    const tilt = accelerometerBias! / 9.80665;
    expect(Math.abs(alone('accelerometer bias').thigh.mean) / tilt).toBeGreaterThan(0.75);
    expect(Math.abs(alone('accelerometer bias').thigh.mean) / tilt).toBeLessThan(1.1);
  });

  test('a drift of r a second leaves r ÷ k_i = r·τ², a bias known at rest nothing', () => {
    const drift = input.leg.thighSensor!.drift! / 60;
    expect(Math.abs(alone('gyro drift').thigh.mean) / (drift * 8 ** 2)).toBeCloseTo(1, 1);
    expect(alone('gyro bias').thigh.rms).toBeLessThan(1e-5);
  });

  test('small errors add up: the mean of all is the sum of the means', () => {
    const sum = budget.sources.reduce((total, source) => total + source.alone.thigh.mean, 0);
    expect(budget.together.thigh.mean / sum).toBeGreaterThan(0.97);
    expect(budget.together.thigh.mean / sum).toBeLessThan(1.03);
  });

  test('what to improve first is what its absence helps most, and mending it in the leg file does just that', () => {
    const best = budget.sources.toSorted((a, b) => a.without.thigh.rms - b.without.thigh.rms)[0]!;
    expect(budget.improveFirst).toBe(best.source);
    expect(budget.improveFirst).toBe('accelerometer bias');
    const mended = known(sensorBudget(withSensor({ accelerometerBias: 0 }), 'walk-natural'));
    // the draws of the noise are the same; the worse side may change
    if (mended.together.side === budget.together.side)
      expect(mended.together.thigh.rms).toBeCloseTo(best.without.thigh.rms, 12);
    expect(mended.together.thigh.rms).toBeLessThan(0.7 * budget.together.thigh.rms);
  });

  test('the walk is looked at when the filter has settled: a later look says the same within 3 %', () => {
    const sensor = known(sensorOf(input));
    const { settled, angle } = heardWalk(sensor, natural, 60);
    const { strideTime } = natural.stride;
    const rms = (from: number) => {
      let square = 0;
      for (let k = 0; k < 11_000; k++) {
        const t = (settled + from) * strideTime + k / 1000;
        const truth = curveAt(natural.thigh, (100 * (t % strideTime)) / strideTime).value;
        square += (angle(t) - truth) ** 2 / 11_000;
      }
      return Math.sqrt(square);
    };
    expect(Math.abs(rms(0) / rms(49) - 1)).toBeLessThan(0.03);
  });

  test('without errors but the accelerations there is what they do, and with none nothing', () => {
    const perfect = withSensor(PERFECT);
    const error = known(sensedSwing(perfect, 'walk-natural'));
    expect(error.thigh.rms).toBeCloseTo(alone('acceleration').thigh.rms, 3);
    const sensor = known(sensorOf(perfect));
    const { angle } = heardWalk(sensor, natural, 1, { errors: [] });
    for (let k = 0; k < 1000; k += 13)
      expect(Math.abs(angle(k / 1000) - curveAt(natural.thigh, k / 11).value)).toBeLessThan(1e-5);
  });

  test('a foot goes astray by the speed it has: path off ≈ phase off · stride time · its speed in swing', () => {
    const { strideTime, speed, stance } = natural.stride;
    // ankle over hip: it overtakes the hip by one stride length, less what the hip goes, within swing
    const mean = (speed! * strideTime * stance) / ((1 - stance) * strideTime);
    const reach = budget.together.phase.worst * strideTime * mean;
    expect(budget.together.path / reach).toBeGreaterThan(0.5);
    expect(budget.together.path / reach).toBeLessThan(2);
    expect(budget.together.placement).toBeLessThan(budget.together.path);
  });
});

describe('what is missing', () => {
  test('is named: the fields of a sensor, a sensor, a task without a walk; in the ledger as well', () => {
    const { bias: _, mounting: __, ...some } = input.leg.thighSensor!;
    const lacks = { ...input, leg: { ...input.leg, thighSensor: some } };
    const openBecause =
      'the leg file does not say enough of what reads the thigh: add `bias`, `mounting` under `thighSensor`';
    expect(sensedSwing(lacks, 'walk-natural')).toEqual({ openBecause });
    expect(sensorBudget(lacks, 'walk-natural')).toEqual({ openBecause });
    const design = evaluateDesign(lacks);
    for (const name of [
      'sensedPhaseError',
      'footPlacementError',
      'speedEstimateError',
      'inclineEstimateError',
      'estimateSettling',
    ])
      expect(metricCatalogue[name]!.value(lacks, design, 'knee', undefined)).toEqual({ openBecause });
    const { thighSensor: ___, ...none } = input.leg;
    expect(sensedSwing({ ...input, leg: none }, 'walk-natural')).toEqual({
      openBecause: 'the leg file has no thigh sensor: add `thighSensor`',
    });
    expect(sensedSwing(input, 'stand')).toEqual({ openBecause: 'it has no stride' });
  });

  test('a sensor that is none is a fault, not a number', () => {
    expect(() => sensedSwing(withSensor({ rate: 0 }), 'walk-natural')).toThrow('too slow for a swing');
    expect(() => sensedSwing(withSensor({ delay: 3 }), 'walk-natural')).toThrow('no sensor');
    expect(() => sensedSwing(withSensor({ drift: Number.NaN }), 'walk-natural')).toThrow('`drift`');
  });
});
