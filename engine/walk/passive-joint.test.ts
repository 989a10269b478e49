import { expect, test } from 'vitest';
import { type PassiveJoint, passiveState, passiveStep } from './passive-joint.ts';
import { DRIVE } from './walk-drive.ts';

const NONE: PassiveJoint = {
  stiffness: 0,
  stiffnessBelow: 0,
  neutral: 0,
  flexionDamping: 0,
  extensionDamping: 0,
  friction: 0,
  extensionAssist: 0,
};

const torque = (joint: PassiveJoint, angle: number, velocity: number): number => {
  const state = passiveState();
  passiveStep(joint, state, angle, velocity);
  return state[DRIVE.output]!;
};

test('each part by hand: springs either side of neutral, dampers by direction, friction against motion, assist towards extension', () => {
  const foot = { ...NONE, stiffness: 600, stiffnessBelow: 400, neutral: 0.05 };
  expect(torque(foot, 0.25, 0)).toBeCloseTo(-120, 12);
  expect(torque(foot, -0.05, 0)).toBeCloseTo(40, 12);
  const knee = { ...NONE, flexionDamping: 2, extensionDamping: 0.5, extensionAssist: 3 };
  expect(torque(knee, 0.4, 4)).toBeCloseTo(-11, 12);
  expect(torque(knee, 0.4, -4)).toBeCloseTo(-1, 12);
  const dry = { ...NONE, friction: 1.5 };
  expect(torque(dry, 0, 5)).toBeCloseTo(-1.5, 12);
  expect(torque(dry, 0, -5)).toBeCloseTo(1.5, 12);
  expect(Math.abs(torque(dry, 0, 0))).toBe(0);
});

test('an inertia on the joint swings as the closed form of a damped spring does', () => {
  const [J, k, b] = [0.3, 120, 1.2];
  const joint = { ...NONE, stiffness: k, stiffnessBelow: k, flexionDamping: b, extensionDamping: b };
  const state = passiveState();
  const dt = 2e-6;
  let [angle, rate] = [0.2, 0];
  for (let i = 0; i < 1 / dt; i++) {
    passiveStep(joint, state, angle, rate);
    rate += (dt * state[DRIVE.output]!) / J;
    angle += dt * rate;
  }
  const decay = b / (2 * J);
  const omega = Math.sqrt(k / J - decay ** 2);
  // x(t) = x_0·e^(−δt)·(cos ωt + δ/ω·sin ωt)
  const exact = 0.2 * Math.exp(-decay) * (Math.cos(omega) + (decay / omega) * Math.sin(omega));
  expect(Math.abs(angle - exact)).toBeLessThan(2e-6);
});

test('round any closed path springs and assist give back what they took, damper and friction only take', () => {
  const joint = {
    ...NONE,
    ...{ stiffness: 600, stiffnessBelow: 400, neutral: 0.05, extensionAssist: 3 },
    ...{ flexionDamping: 0.8, extensionDamping: 0.3, friction: 1.2 },
  };
  const state = passiveState();
  const N = 20_000;
  const T = 1.1;
  let [springs, losses] = [0, 0];
  for (let i = 0; i < N; i++) {
    const t = (2 * Math.PI * (i + 0.5)) / N;
    const angle = 0.2 * Math.sin(t) + 0.05 * Math.sin(3 * t);
    const rate = ((0.2 * Math.cos(t) + 0.15 * Math.cos(3 * t)) * 2 * Math.PI) / T;
    passiveStep(joint, state, angle, rate);
    expect(state[DRIVE.frictionPower]).toBeLessThanOrEqual(0);
    expect(state[DRIVE.springPower]! + state[DRIVE.frictionPower]!).toBeCloseTo(
      state[DRIVE.output]! * rate,
      9,
    );
    springs += (state[DRIVE.springPower]! * T) / N;
    losses += (state[DRIVE.frictionPower]! * T) / N;
  }
  expect(Math.abs(springs)).toBeLessThan(1e-3);
  expect(losses).toBeLessThan(-0.5);
});
