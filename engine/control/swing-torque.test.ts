import { describe, expect, test } from 'vitest';
import type { LegMasses } from '../gait/inverse-dynamics.ts';
import { swingMap } from './swing-map.ts';
import { SWING, swingState, swingTick } from './swing-tick.ts';
import { swingTorque } from './swing-torque.ts';
import { pointOf } from './test-trajectory.ts';
import { periodicTrajectory } from './trajectory.ts';

const TURN = 2 * Math.PI;
const G = 9.80665;
const sampled = (f: (s: number) => number, harmonics = 8) =>
  periodicTrajectory(
    Array.from({ length: 201 }, (_, k) => f(k / 200)),
    harmonics,
  );
const still = { mass: 0, inertia: 0, centre: { x: 0, z: 0 }, length: 0 };
// a rod below the knee and nothing else: both torques in closed form
const ROD = { mass: 3, inertia: 0.05, centre: { x: 0, z: -0.2 }, length: 0.4 };
const leg: LegMasses = { thigh: { ...still, length: 0.45 }, shank: ROD, foot: still };
const ABOUT = ROD.inertia + ROD.mass * ROD.centre.z ** 2;
const JR = 0.15;

describe('CTL-SWING what the leg’s own weight and inertia ask for ahead', () => {
  const knee = sampled((s) => 0.5 - 0.4 * Math.cos(TURN * s));
  const zero = sampled(() => 0);

  test('a rod on a still thigh is a pendulum: −m·g·l·sin(φ) to hold it, (I + m·l² + J_r)·θ̈ to move it', () => {
    const torque = swingTorque({ thigh: zero, knee, ankle: zero }, 1, {
      leg,
      kneeRotor: JR,
      ankleRotor: 0,
      gravity: G,
    });
    for (let s = 0; s < 1; s += 0.037) {
      const angle = 0.5 - 0.4 * Math.cos(TURN * s);
      const bend = 0.4 * TURN ** 2 * Math.cos(TURN * s);
      expect(pointOf(torque.kneeHeld, s).value).toBeCloseTo(ROD.mass * G * 0.2 * Math.sin(angle), 6);
      expect(pointOf(torque.kneeMoved, s).value).toBeCloseTo((ABOUT + JR) * bend, 6);
      expect(Math.abs(pointOf(torque.ankleMoved, s).value)).toBeLessThan(1e-9);
    }
  });

  test('a thigh that swings drags the shank along: Lagrange’s equation of the two, worked out by hand', () => {
    const thigh = sampled((s) => 0.3 * Math.sin(TURN * s));
    const torque = swingTorque({ thigh, knee, ankle: zero }, 1, {
      leg,
      kneeRotor: 0,
      ankleRotor: 0,
      gravity: G,
    });
    const [m, l, L] = [ROD.mass, 0.2, 0.45];
    for (let s = 0; s < 1; s += 0.037) {
      const [p, k] = [0.3 * Math.sin(TURN * s), 0.5 - 0.4 * Math.cos(TURN * s)];
      const [w, pw] = [0.3 * TURN * Math.cos(TURN * s), -0.3 * TURN ** 2 * Math.sin(TURN * s)];
      const kw = 0.4 * TURN ** 2 * Math.cos(TURN * s);
      // about the knee, of φ_2 = φ_1 − θ:  (I + m·l²)·φ̈_2 + m·L·l·(φ̈_1·cos θ + φ̇_1²·sin(−θ)) turns the shank; flexion is the other way
      const about = ABOUT * (pw - kw) + m * L * l * (pw * Math.cos(k) - w * w * Math.sin(k));
      expect(pointOf(torque.kneeMoved, s).value).toBeCloseTo(-about, 3);
      expect(pointOf(torque.kneeHeld, s).value).toBeCloseTo(-m * G * l * Math.sin(p - k), 3);
    }
  });

  test('in the tick it grows with the square of the pace, is the weight alone where the thigh is held, and nothing where it is not read', () => {
    const thigh = sampled((s) => 0.1 - 0.35 * Math.cos(TURN * (s - 0.5)));
    const parts = { thigh, knee, ankle: zero };
    const torque = swingTorque(parts, 1, { leg, kneeRotor: JR, ankleRotor: 0, gravity: G });
    const map = {
      ...swingMap({ ...parts, stance: 0.5, strideTime: 1, finish: false, path: 'tasks.x' }),
      torque,
    };
    const at = (rate: number): { torque: number; phase: number; pace: number } => {
      const state = swingState();
      state[SWING.phase] = map.toeOff;
      state[SWING.on] = map.referenceOn;
      const goal = map.referenceOn + 0.5 * (map.full - map.referenceOn);
      for (let k = 0; k < 400; k++) swingTick(map, state, goal, 0, 1e-3);
      swingTick(map, state, goal + 1e-9, rate, 1e-3);
      return { torque: state[SWING.kneeTorque]!, phase: state[SWING.phase]!, pace: state[SWING.phaseRate]! };
    };
    const held = at(0);
    expect(held.torque).toBeCloseTo(pointOf(torque.kneeHeld, held.phase).value, 9);
    const one = at(1);
    const two = at(1.4);
    const moved = pointOf(torque.kneeMoved, one.phase).value;
    expect(Math.abs(moved)).toBeGreaterThan(0.3);
    expect(one.torque - held.torque).toBeCloseTo(one.pace ** 2 * moved, 5);
    expect((two.torque - held.torque) / (one.torque - held.torque)).toBeCloseTo(1.4 ** 2, 5);
    // a phase that catches up is no planned motion
    const far = at(1e3);
    expect(far.torque - held.torque).toBeCloseTo(torque.fastest ** 2 * moved, 5);
    const state = swingState();
    state[SWING.phase] = 0.7;
    state[SWING.kneeTorque] = 9;
    swingTick(map, state, Number.NaN, 0, 1e-3);
    expect(state[SWING.kneeTorque]).toBe(0);
  });
});
