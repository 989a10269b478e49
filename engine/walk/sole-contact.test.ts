import { describe, expect, test } from 'vitest';
import { contactPeak } from '../drive/heel-contact.ts';
import { legChain } from './leg-chain.ts';
import { COORDINATES, legTerms, legTermsRoom, TERM } from './leg-terms.ts';
import {
  anchorsOf,
  GROUND,
  groundRoom,
  normalForce,
  pressureCentre,
  type Sole,
  soleContact,
} from './sole-contact.ts';
import { stopTorque } from './stop-torque.ts';
import { pushAt, TEST_LEG } from './test-leg.ts';

const near = (got: number, want: number, within: number) =>
  expect(Math.abs(got - want)).toBeLessThanOrEqual(within);

test('CTL-CON-1: force over depth and speed, and the depth under 800 N', () => {
  const rows = [
    [0.005, 0, 141.421356],
    [0.005, 0.2, 169.705627],
    [0.005, -0.2, 113.137085],
    [0.01, 0.1, 440],
    [0.003, -1.5, 0],
    [-0.001, 0.5, 0],
  ] as const;
  for (const [depth, sinking, force] of rows) near(normalForce(4e5, 1, depth, sinking), force, 1e-6);
  // δ = (F/k)^⅔, slope 1.5·k·√δ
  near(normalForce(4e5, 1, 0.0158740105, 0), 800, 1e-5);
  const slope =
    (normalForce(4e5, 1, 0.0158740105 + 1e-7, 0) - normalForce(4e5, 1, 0.0158740105 - 1e-7, 0)) / 2e-7;
  near(slope, 75595.263, 0.5);
  expect(normalForce(4e5, 1, Number.NaN, 0)).toBeNaN();
});

test('CTL-CON-2: what bounces back, against λv − ln(1 + λv) = −λu − ln(1 − λu)', () => {
  for (const [speed, restitution] of [
    [0.1, 0.93747558],
    [0.3, 0.83286979],
    [0.6, 0.71195018],
  ] as const) {
    const [mass, step] = [2, 1e-7];
    let [depth, sinking, peak] = [0, speed, 0];
    do {
      // midpoint rule, nothing but the ground
      const half = sinking - (step / 2 / mass) * normalForce(4e5, 1, depth, sinking);
      const force = normalForce(4e5, 1, depth + (step / 2) * sinking, half);
      depth += step * half;
      sinking -= (step / mass) * force;
      peak = Math.max(peak, force);
    } while (depth > 0);
    near(-sinking / speed, restitution, 2e-6);
    const [left, right] = [speed - Math.log1p(speed), sinking - Math.log1p(sinking)];
    near(left, right, 1e-6 * left);
    near(contactPeak({ stiffness: 4e5, damping: 1 }, mass, speed).force, peak, 1e-5 * peak);
  }
});

test('CTL-CON-4: mass that a point of the foot presents, hip and thigh prescribed', () => {
  const terms = legTermsRoom();
  const rows = [
    [[0.05, 0.1, 0.05], 1.54276, 20.3218, 1.54276, 2.24354],
    [[0.38, 0.09, 0], 1.53694, 25.6411, 2.19941, 1.55372],
    [[-0.2, 0.25, 0.15], 2.01086, 4.62306, 1.29233, 3.22683],
  ] as const;
  for (const [pose, ...masses] of rows) {
    legTerms(legChain(TEST_LEG), Float64Array.of(0, 0, ...pose), new Float64Array(5), terms);
    const M = (i: number, j: number) => terms[TERM.mass + COORDINATES * i + j]!;
    const det = M(3, 3) * M(4, 4) - M(3, 4) ** 2;
    const presented = (x: number, forward: number, up: number) => {
      const { force } = pushAt(terms, { x, z: -0.085 }, forward, up);
      const [k, a] = [force[3]!, force[4]!];
      return det / (M(4, 4) * k * k - 2 * M(3, 4) * k * a + M(3, 3) * a * a);
    };
    const got = [
      presented(-0.055, 1, 0),
      presented(-0.055, 0, 1),
      presented(0.175, 1, 0),
      presented(0.175, 0, 1),
    ];
    got.forEach((mass, i) => {
      near(mass, masses[i]!, 6e-6 * masses[i]!);
    });
  }
});

test('CTL-CON-6: an end stop pushes back and never pulls', () => {
  // damping that grows with depth, D = 2 s/rad·K·d, in each row
  for (const [depth, velocity, torque] of [
    [0.01, 0, -30],
    [0.01, 1, -90],
    [0.02, -0.3, -24],
    [0.02, -0.8, 0],
  ] as const) {
    const stops = { from: -1, to: 2, stiffness: 3000, damping: 2 * 3000 * depth };
    near(stopTorque(stops, 2 + depth, velocity), torque, 1e-9);
    near(stopTorque(stops, -1 - depth, -velocity), -torque, 1e-9);
  }
  expect(stopTorque({ from: -1, to: 2, stiffness: 3000, damping: 2 }, 0.5, 9)).toBe(0);
});

/** A foot flat on the ground at `depth`, the rest of the leg upright. */
function flat(depth: number, sole: Sole) {
  const q = Float64Array.of(0, 0.935 - depth, 0, 0, 0);
  const terms = legTermsRoom();
  const anchors = anchorsOf(sole);
  legTerms(legChain(TEST_LEG), q, new Float64Array(5), terms);
  return (v: Float64Array, travel: number, belt: number) => {
    const [force, ground] = [new Float64Array(5), groundRoom()];
    ground[GROUND.travel] = travel;
    ground[GROUND.belt] = belt;
    soleContact(sole, q, v, terms, anchors, force, ground);
    return { force, ground, anchors };
  };
}

const soleWith = (stiffness: readonly number[]): Sole => ({
  x: Float64Array.of(-0.055, 0.175),
  z: Float64Array.of(-0.085, -0.085),
  stiffness: Float64Array.from(stiffness),
  damping: 1,
  friction: 0.8,
  stickStiffness: 3e4,
  stickDamping: 150,
});

describe('centre of pressure', () => {
  test('CTL-COP-1: 350 N at the heel and 250 N at the toe', () => {
    const depth = 0.005;
    const { ground } = flat(depth, soleWith([350 / depth ** 1.5, 250 / depth ** 1.5]))(
      new Float64Array(5),
      0,
      0,
    );
    near(ground[GROUND.up]!, 600, 1e-6);
    near(pressureCentre(ground), 0.0408333333, 1e-9);
  });

  test('CTL-COP-2: along a slope the same sum in the slope’s own axes; none below 20 N', () => {
    const slope = Float64Array.of(0, 500, 300 * -0.055 + 200 * 0.175);
    near(pressureCentre(slope), 0.037, 1e-12);
    expect(pressureCentre(Float64Array.of(0, 19, 1))).toBeNaN();
  });
});

describe('friction', () => {
  const sole = soleWith([4e5, 4e5]);
  const still = new Float64Array(5);

  test('a foot pulled by the belt sticks, and then slides at μ·F_z', () => {
    const press = flat(0.005, sole);
    expect(press(still, 0, 0).ground[GROUND.forward]).toBe(0);
    // 1 mm of belt: −k_t·x at each of two points, and it comes back to nothing with the belt
    near(press(still, -0.001, 0).ground[GROUND.forward]!, 2 * 30, 1e-6);
    near(press(still, 0, 0).ground[GROUND.forward]!, 0, 1e-9);
    const slid = press(still, -0.1, 0).ground;
    near(slid[GROUND.forward]!, 0.8 * slid[GROUND.up]!, 1e-9);
    // the anchor has followed, so that going back a little unloads at once
    near(press(still, -0.0995, 0).ground[GROUND.forward]!, slid[GROUND.forward]! - 2 * 15, 1e-6);
  });

  test('the power of the ground is F·v of its points, the belt’s work in it', () => {
    const press = flat(0.005, sole);
    const v = Float64Array.of(0.3, -0.1, 0.4, -0.7, 0.9);
    const { force, ground } = press(v, 0, 1.2);
    const power = force.reduce((sum, f, k) => sum + f * v[k]!, 0);
    near(ground[GROUND.power]!, power, 1e-9);
    expect(Math.abs(power)).toBeGreaterThan(10);
  });
});
