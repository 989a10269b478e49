import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { GRAVITY } from '../gait/inverse-dynamics.ts';
import { ATTITUDE, type AttitudeGains, attitudeGains, attitudeState, attitudeTick } from './attitude.ts';
import { rotationMatrix } from './quaternion.ts';

const reference = JSON.parse(
  readFileSync(new URL('../../reference/numeric/attitude.json', import.meta.url), 'utf8'),
).filter as {
  kp: number;
  ki: number;
  bias: number;
  ramp: number;
  frequency: number;
  time: number[];
  angle: number[];
  learned: number[];
};

/** At rest in the plane, nothing known of the bias. */
const atRest = (thigh: number) =>
  attitudeState(
    Float64Array.of(GRAVITY * Math.sin(thigh), 0, GRAVITY * Math.cos(thigh)),
    new Float64Array(3),
  );

/** The sagittal thigh: rate of the gyro and angle that the accelerometer sees, as functions of time. */
function run(
  gains: AttitudeGains,
  rate: (t: number) => number,
  seen: (t: number) => number,
  until: number,
  dt: number,
  state = atRest(0),
): Float64Array {
  const ticks = Math.round(until / dt);
  const [gyro, force] = [new Float64Array(3), new Float64Array(3)];
  for (let k = 0; k <= ticks; k++) {
    const t = k * dt;
    gyro[1] = -rate(t);
    force[0] = GRAVITY * Math.sin(seen(t));
    force[2] = GRAVITY * Math.cos(seen(t));
    attitudeTick(gains, state, gyro, force, 0, k === 0 ? 0 : dt);
  }
  return state;
}

const still = () => 0;

describe('attitude from gyro and accelerometer', () => {
  test('a constant bias leaves bias ÷ k_p where nothing learns it: for a filter of one time τ, bias·τ', () => {
    for (const [bias, time] of [
      [0.01, 2],
      [0.005, 8],
    ] as const) {
      const state = run({ angle: 1 / time, bias: 0 }, () => bias, still, 30 * time, 1e-3);
      // the error enters as its sine; a tick of the bias is taken off after it was seen
      expect(Math.abs(state[ATTITUDE.thigh]! - Math.asin(bias * time))).toBeLessThan(1.01e-3 * bias);
    }
  });

  test('with its bias learned the angle is right, and a bias that ramps by r a second leaves r ÷ k_i', () => {
    const gains = attitudeGains(3);
    const settled = run(gains, () => 0.02, still, 90, 1e-3);
    expect(settled[ATTITUDE.thigh]).toBeCloseTo(0, 7);
    expect(settled[ATTITUDE.bias + 1]).toBeCloseTo(-0.02, 7);
    expect(settled[ATTITUDE.thighRate]).toBeCloseTo(0, 7);
    const ramp = 1e-4;
    const state = run(gains, (t) => ramp * t, still, 90, 1e-3);
    expect(state[ATTITUDE.thigh]! / (ramp / gains.bias)).toBeCloseTo(1, 2);
  });

  test('small angles follow the two-state filter as SciPy integrates it', () => {
    const { kp, ki, bias, ramp, frequency, time, angle, learned } = reference;
    const small = 1e-3;
    time.forEach((until, k) => {
      const state = run(
        { angle: kp, bias: ki },
        (t) => small * (bias + ramp * t),
        (t) => (small * Math.sin(2 * Math.PI * frequency * t)) / 10,
        until,
        1e-3,
      );
      // one sample in a thousand a second: the step of the tick remains
      expect(Math.abs(state[ATTITUDE.thigh]! / small - angle[k]!)).toBeLessThan(2e-4);
      expect(Math.abs(-state[ATTITUDE.bias + 1]! / small - learned[k]!)).toBeLessThan(2e-4);
    });
  });

  test('what is not corrected integrates the gyro: a swing comes back to itself, error of second order in the step', () => {
    const after = (dt: number) => {
      const turn = (t: number) => 0.5 * Math.sin(2 * Math.PI * t);
      const rate = (t: number) => 0.5 * 2 * Math.PI * Math.cos(2 * Math.PI * t);
      return run({ angle: 0, bias: 0 }, rate, still, 0.2, dt)[ATTITUDE.thigh]! - turn(0.2);
    };
    const [coarse, fine] = [after(0.02), after(0.01)];
    expect(Math.abs(fine)).toBeLessThan(2e-4);
    expect(coarse / fine).toBeGreaterThan(3.8);
    expect(coarse / fine).toBeLessThan(4.2);
  });

  test('the thigh angle does not depend on the heading, which a vertical bias turns', () => {
    const state = atRest(0.4);
    const [gyro, force] = [new Float64Array(3), new Float64Array(3)];
    // a turn about the world's vertical, seen from a thigh at 0.4 rad
    const [x, z] = [Math.sin(0.4), Math.cos(0.4)];
    for (let k = 0; k < 3000; k++) {
      gyro.set([0.5 * x, 0, 0.5 * z]);
      force.set([GRAVITY * x, 0, GRAVITY * z]);
      attitudeTick(attitudeGains(4), state, gyro, force, 0, 1e-3);
    }
    expect(state[ATTITUDE.thigh]).toBeCloseTo(0.4, 9);
    // but for half the first step, whose tick before had no rate
    expect(Math.abs(2 * Math.atan2(state[3]!, state[0]!) - 1.5)).toBeLessThan(0.05);
  });

  test('begun at rest, tilted both ways, it stays where it was and knows its bias', () => {
    const [force, bias] = [Float64Array.of(1.5, -2, 9.4), Float64Array.of(0.01, -0.02, 0.03)];
    const length = Math.hypot(...force);
    force.forEach((f, k) => {
      force[k] = (f * GRAVITY) / length;
    });
    const state = attitudeState(force, bias);
    const up = rotationMatrix(state, 0, new Float64Array(9)).slice(6);
    up.forEach((x, k) => {
      expect(x).toBeCloseTo(force[k]! / GRAVITY, 12);
    });
    for (let k = 0; k < 5000; k++) attitudeTick(attitudeGains(2), state, bias, force, 0, 1e-3);
    expect(state[ATTITUDE.thigh]).toBeCloseTo(Math.atan2(1.5, 9.4), 4);
    bias.forEach((b, k) => {
      expect(state[ATTITUDE.bias + k]).toBeCloseTo(b, 5);
    });
  });

  test('an input that is no number: attitude and bias stay, rate 0, fault 1, and on it goes', () => {
    const state = run(
      attitudeGains(2),
      () => 0.1,
      (t) => 0.1 * t,
      1,
      1e-3,
    );
    const before = Float64Array.from(state);
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY]) {
      attitudeTick(attitudeGains(2), state, Float64Array.of(0, bad, 0), Float64Array.of(0, 0, 9), 0, 1e-3);
      expect(state[ATTITUDE.fault]).toBe(1);
      expect(state[ATTITUDE.thighRate]).toBe(0);
      expect(state.slice(0, 10)).toEqual(before.slice(0, 10));
      expect(state[ATTITUDE.thigh]).toBe(before[ATTITUDE.thigh]);
    }
    attitudeTick(attitudeGains(2), state, Float64Array.of(0, -0.1, 0), Float64Array.of(0, 0, 9), 0, 1e-3);
    expect(state[ATTITUDE.fault]).toBe(0);
    expect(state.every(Number.isFinite)).toBe(true);
  });
});
