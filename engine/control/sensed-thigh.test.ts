import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Fault } from '../quantity/fault.ts';
import { attitudeGains } from './attitude.ts';
import { type SensorError, sensedThigh, type ThighMotion } from './sensed-thigh.ts';
import { softSway } from './soft-mounting.ts';
import { type ThighSensor, wholeSensor } from './thigh-sensor.ts';

const sway = JSON.parse(
  readFileSync(new URL('../../reference/numeric/attitude.json', import.meta.url), 'utf8'),
).sway as {
  damping: number;
  frequency: number;
  amplitude: number;
  drive: number;
  time: number[];
  angle: number[];
  rate: number[];
};

const SENSOR: ThighSensor = {
  position: { x: 0.04, z: -0.38 },
  angle: 0.3,
  roll: -0.2,
  turn: 0.5,
  poseError: 0.01,
  rate: 1000,
  gyroNoise: 0.002,
  accelerometerNoise: 0.05,
  bias: 0.005,
  drift: 0.0006,
  accelerometerBias: 0.1,
  delay: 0.002,
  mounting: { frequency: 10, damping: 0.2 },
};

/** A thigh that swings by A·sin(2πft) about a hip that stands or shakes. */
function swinging(seconds: number, { amplitude = 0.3, frequency = 0.9, hip = 0 } = {}): ThighMotion {
  const n = Math.round(seconds * 1000) + 1;
  const g = 2 * Math.PI * frequency;
  const at = (f: (t: number) => number) => Float64Array.from({ length: n }, (_, k) => f(k / 1000));
  return {
    angle: at((t) => amplitude * Math.sin(g * t)),
    rate: at((t) => amplitude * g * Math.cos(g * t)),
    acceleration: at((t) => -amplitude * g * g * Math.sin(g * t)),
    hipX: at((t) => hip * Math.cos(g * t)),
    hipZ: at((t) => hip * Math.cos(2 * g * t)),
    dt: 1e-3,
  };
}

const off = (
  motion: ThighMotion,
  errors: readonly SensorError[],
  sensor: Partial<ThighSensor> = {},
  time = 4,
) => {
  const heard = sensedThigh(wholeSensor({ ...SENSOR, ...sensor }), motion, errors, attitudeGains(time), 1);
  return heard.angle.map((angle, k) => angle - motion.angle[k]!);
};
const rms = (of: Float64Array) => Math.sqrt(of.reduce((sum, x) => sum + x * x, 0) / of.length);
const mean = (of: Float64Array) => of.reduce((sum, x) => sum + x, 0) / of.length;

describe('the thigh as a sensor reads it', () => {
  test('without errors it reads the thigh, whichever way it is mounted', () => {
    for (const pose of [{}, { angle: -1.2, roll: 0.7, turn: 2.4 }, { angle: 0, roll: 0, turn: 0 }])
      expect(Math.max(...off(swinging(5), [], pose).map(Math.abs))).toBeLessThan(1e-5);
  });

  test('a housing that sways by its mounting agrees with SciPy, and in slow motion with −θ̈/ω²', () => {
    const { damping, frequency, amplitude, drive, time, angle, rate } = sway;
    const motion = swinging(1, { amplitude, frequency: drive });
    const got = softSway({ frequency, damping }, motion.acceleration, 1e-3);
    time.forEach((t, k) => {
      expect(got.angle[Math.round(1000 * t)]).toBeCloseTo(angle[k]!, 7);
      expect(got.rate[Math.round(1000 * t)]).toBeCloseTo(rate[k]!, 6);
    });
    const slow = swinging(20, { frequency: 0.2 });
    const little = softSway({ frequency: 10, damping: 0.7 }, slow.acceleration, 1e-3);
    const k = 18_750; // t = 18.75 s: 3.75 periods, a peak
    expect(little.angle[k]! / (-slow.acceleration[k]! / (2 * Math.PI * 10) ** 2)).toBeCloseTo(1, 3);
  });

  test('it heard the sway: soft mounting alone moves the angle by just that', () => {
    const motion = swinging(20);
    const { angle } = softSway(SENSOR.mounting!, motion.acceleration, 1e-3);
    const error = off(motion, ['soft mounting'], {}, 4);
    const late = error.subarray(15_000).map((e, k) => e - angle[15_000 + k]!);
    // gravity in the swayed housing agrees with its gyro: nothing for the filter to correct but the start
    expect(Math.max(...late.map(Math.abs))).toBeLessThan(1e-5);
  });

  test('pose misjudged: about the axis to the left it is the thigh’s own error, about the others of second order', () => {
    const error = off(swinging(40), ['mounting pose'], { poseError: 0.01, roll: 0, turn: 0, angle: 0 });
    // ten seconds: nine strides
    expect(Math.abs(mean(error.subarray(30_000, 40_000)) - 0.01)).toBeLessThan(0.01 ** 2);
  });

  test('a bias of the accelerometer tilts by asin(bias ÷ g) in a thigh that stands', () => {
    const motion = swinging(60, { amplitude: 0 });
    const error = off(motion, ['accelerometer bias'], { angle: 0, roll: 0, turn: 0 });
    // along its own axis as well: atan2 of the two
    expect(error[59_000]).toBeCloseTo(Math.atan2(0.1, 9.80665 + 0.1), 5);
  });

  test('gyro noise walks: without correction the variance grows as σ²·dt·t, within what its χ² allows', () => {
    const n = 200;
    let square = 0;
    const motion = swinging(2, { amplitude: 0 });
    for (let seed = 0; seed < n; seed++) {
      const flat = { ...SENSOR, angle: 0, roll: 0, turn: 0 };
      const { angle } = sensedThigh(wholeSensor(flat), motion, ['gyro noise'], { angle: 0, bias: 0 }, seed);
      square += angle[2000]! ** 2 / n;
    }
    const expected = 0.002 ** 2 * 1e-3 * 2;
    // 200 draws: the sum of squares is within ±30 % but once in a thousand times
    expect(square / expected).toBeGreaterThan(0.7);
    expect(square / expected).toBeLessThan(1.3);
  });

  test('acceleration: linear, so its mean over strides is nothing, and a filter twice as slow lets through half', () => {
    const motion = swinging(90, { hip: 2 });
    const last = (time: number) => {
      const error = off(motion, ['acceleration'], {}, time);
      const strides = Math.round((20 / 0.9) * 1000);
      return error.subarray(error.length - strides);
    };
    const [quick, slow] = [last(2), last(4)];
    // centripetal acceleration is not linear in the angle: a small mean stays
    expect(Math.abs(mean(quick))).toBeLessThan(0.1 * rms(quick));
    expect(rms(quick) / rms(slow)).toBeGreaterThan(1.85);
    expect(rms(quick) / rms(slow)).toBeLessThan(2.1);
  });

  test('the same seed gives the same reading, another another', () => {
    const motion = swinging(1);
    const read = (seed: number) =>
      sensedThigh(wholeSensor(SENSOR), motion, ['gyro noise', 'accelerometer noise'], attitudeGains(4), seed)
        .angle;
    expect(read(1)).toEqual(read(1));
    expect(read(1)).not.toEqual(read(2));
  });
});

describe('what a sensor must say of itself', () => {
  const told = (more: Partial<ThighSensor>) => {
    try {
      wholeSensor({ ...SENSOR, ...more });
    } catch (error) {
      return (error as Fault).message;
    }
    throw new Error('no fault');
  };

  test('a rate of 0, a delay beyond reason, sizes that are none', () => {
    expect(told({ rate: 0 })).toBe(
      'leg.thighSensor.rate: A thigh read 0 times a second is too slow for a swing. Give at least 50 Hz.',
    );
    expect(told({ delay: 2 })).toBe(
      "leg.thighSensor.delay: A thigh read 2 s late is no sensor's delay. Give 0 to 0.1 s, and look at the unit.",
    );
    expect(told({ bias: Number.NaN })).toContain('`bias` of the thigh sensor is NaN');
    expect(told({ gyroNoise: -1 })).toContain('Give a size: a number from 0');
    expect(told({ mounting: { frequency: 0, damping: 0.2 } })).toContain('A mounting of 0 Hz');
    expect(told({ position: { x: Number.NaN, z: 0 } })).toContain('pose of the thigh sensor is no number');
  });

  test('what it lacks is named', () => {
    const { bias: _, mounting: __, ...rest } = SENSOR;
    expect(() => wholeSensor(rest)).toThrow(
      'The thigh sensor has no bias, no mounting. Add `bias`, `mounting`',
    );
  });
});
