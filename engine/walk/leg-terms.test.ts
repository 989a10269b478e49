import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { inverseDynamics } from '../gait/inverse-dynamics.ts';
import { rungeKutta4 } from '../numeric/runge-kutta.ts';
import { legAngles } from './leg-angles.ts';
import { legChain } from './leg-chain.ts';
import { COORDINATES, HIP_X, HIP_Z, legTerms, legTermsRoom, TERM } from './leg-terms.ts';
import { belowCut, LOAD, loadRoom, segmentLoad } from './segment-load.ts';
import { GROUND, groundRoom, soleContact } from './sole-contact.ts';
import { drawn, pushAt, TEST_LEG } from './test-leg.ts';
import { motionRoom, solveMotion } from './test-motion.ts';

interface Case {
  readonly id: string;
  readonly q: readonly number[];
  readonly v: readonly number[];
  readonly hip: readonly number[];
  readonly M: readonly (readonly number[])[];
  readonly h: readonly number[];
  readonly torque: readonly number[];
  readonly free: readonly number[];
  readonly toe: readonly number[];
  readonly heel: readonly number[];
  readonly toeJacobian: readonly (readonly number[])[];
  readonly toeForce: readonly number[];
  readonly toeTorque: readonly number[];
  readonly pushed: readonly number[];
  readonly prescribed: {
    readonly thigh: number;
    readonly kneeAnkle: readonly number[];
    readonly hipTorque: number;
    readonly hipForce: readonly number[];
    readonly kneeForce: readonly number[];
    readonly ankleForce: readonly number[];
  };
  readonly kinetic: number;
  readonly potential: number;
}

const table = new URL('../../reference/gait/tables/leg-dynamics.json', import.meta.url);
const CASES: readonly Case[] = JSON.parse(readFileSync(table, 'utf8')).cases;

const TOE = { x: 0.175, z: -0.085 };
const HEEL = { x: -0.055, z: -0.085 };
const JOINTS = Int32Array.of(2, 3, 4);

/** Ten printed digits, of the angles as well, to which accelerations of hundreds of rad/s² are some hundred times as sensitive. */
const printed = (got: number, want: number) =>
  expect(Math.abs(got - want)).toBeLessThanOrEqual(1e-8 * Math.max(1, Math.abs(want)));

function at(c: Case) {
  const q = Float64Array.of(0, 0, ...c.q);
  const v = Float64Array.of(0, 0, ...c.v);
  const terms = legTermsRoom();
  legTerms(legChain(TEST_LEG), q, v, terms);
  return { q, v, terms };
}

/** Accelerations with the hip's given; what prescribing takes in `needed`. */
function moved(c: Case, terms: Float64Array, push: Float64Array, free: Int32Array, thigh = Number.NaN) {
  const force = Float64Array.from(push);
  c.torque.forEach((torque, k) => {
    if (free.includes(k + 2)) force[k + 2] += torque;
  });
  const a = Float64Array.of(c.hip[0]!, c.hip[1]!, thigh, 0, 0);
  const needed = new Float64Array(COORDINATES);
  solveMotion(terms, force, free, a, needed, motionRoom());
  return { a, needed };
}

describe.each(CASES.map((c) => [c.id, c] as const))('CTL-%s', (_, c) => {
  test('mass matrix, bias, free accelerations, energy', () => {
    const { terms } = at(c);
    const M = (i: number, j: number) => terms[TERM.mass + 5 * (i + 2) + j + 2]!;
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) printed(M(i, j), c.M[i]![j]!);
      // an accelerated hip is as good as another gravity: h + M·(hip acceleration)
      const carried =
        terms[TERM.mass + 5 * (i + 2)]! * c.hip[0]! + terms[TERM.mass + 5 * (i + 2) + 1]! * c.hip[1]!;
      printed(terms[TERM.bias + i + 2]! + carried, c.h[i]!);
    }
    const { a } = moved(c, terms, new Float64Array(5), JOINTS);
    for (const [k, value] of c.free.entries()) printed(a[k + 2]!, value);
    printed(terms[TERM.kinetic]!, c.kinetic);
    printed(terms[TERM.potential]!, c.potential);
  });

  test('a point of the foot, its Jacobian, and a force there', () => {
    const { q, v, terms } = at(c);
    const toe = pushAt(terms, TOE, c.toeForce[0]!, c.toeForce[1]!);
    printed(toe.x, c.toe[0]!);
    printed(toe.z, c.toe[1]!);
    const heel = pushAt(terms, HEEL, 0, 0);
    printed(heel.x, c.heel[0]!);
    printed(heel.z, c.heel[1]!);
    for (const [k, value] of c.toeTorque.entries()) printed(toe.force[k + 2]!, value);
    for (let row = 0; row < 2; row++) {
      const unit = pushAt(terms, TOE, row === 0 ? 1 : 0, row).force;
      for (let k = 0; k < 3; k++) printed(unit[k + 2]!, c.toeJacobian[row]![k]!);
    }
    const { a } = moved(c, terms, toe.force, JOINTS);
    for (const [k, value] of c.pushed.entries()) printed(a[k + 2]!, value);
    expect([q[HIP_X], v[HIP_Z]]).toEqual([0, 0]);
  });

  test('thigh prescribed: accelerations, hip torque, forces in the joints', () => {
    const { q, v, terms } = at(c);
    const toe = pushAt(terms, TOE, c.toeForce[0]!, c.toeForce[1]!);
    const { a, needed } = moved(c, terms, toe.force, Int32Array.of(3, 4), c.prescribed.thigh);
    printed(a[3]!, c.prescribed.kneeAnkle[0]!);
    printed(a[4]!, c.prescribed.kneeAnkle[1]!);
    printed(needed[2]!, c.prescribed.hipTorque);
    printed(needed[0]!, c.prescribed.hipForce[0]!);
    printed(needed[1]!, c.prescribed.hipForce[1]!);
    // a massless thigh cut at the knee: the force of thigh on shank; a massless shank as well: of shank on foot
    const none = { mass: 0, inertia: 0, centre: { x: 0, z: 0 } };
    const ground = {
      forward: c.toeForce[0]!,
      up: c.toeForce[1]!,
      aboutHip: toe.x * c.toeForce[1]! - toe.z * c.toeForce[0]!,
    };
    const thigh = { ...none, length: TEST_LEG.thigh.length };
    const cut = { x: 0, z: -thigh.length };
    const part = { gravity: TEST_LEG.gravity, cut, thigh, shank: TEST_LEG.shank, foot: TEST_LEG.foot };
    const knee = segmentLoad(belowCut(part), legAngles(q), v, a, ground, loadRoom());
    printed(knee[LOAD.forward]!, c.prescribed.kneeForce[0]!);
    printed(knee[LOAD.up]!, c.prescribed.kneeForce[1]!);
    // the moment there is the knee's own torque less what turns its rotor, counter-clockwise
    printed(knee[LOAD.moment]!, -(c.torque[1]! - TEST_LEG.kneeOutputInertia * a[3]!));
    const shank = { ...none, length: TEST_LEG.shank.length };
    const foot = segmentLoad(belowCut({ ...part, shank }), legAngles(q), v, a, ground, loadRoom());
    printed(foot[LOAD.forward]!, c.prescribed.ankleForce[0]!);
    printed(foot[LOAD.up]!, c.prescribed.ankleForce[1]!);
  });
});

test('CTL-SOCKET-1: force and moment at a cut through the thigh', () => {
  const c = CASES[1]!;
  const { q, v, terms } = at(c);
  const toe = pushAt(terms, TOE, c.toeForce[0]!, c.toeForce[1]!);
  const { a } = moved(c, terms, toe.force, Int32Array.of(3, 4), c.prescribed.thigh);
  const load = segmentLoad(
    belowCut({
      gravity: TEST_LEG.gravity,
      cut: { x: 0, z: -0.24 },
      thigh: { length: 0.42, mass: 1.6, inertia: 0.012, centre: { x: 0, z: -0.33 } },
      shank: TEST_LEG.shank,
      foot: TEST_LEG.foot,
    }),
    legAngles(q),
    v,
    a,
    {
      forward: c.toeForce[0]!,
      up: c.toeForce[1]!,
      aboutHip: toe.x * c.toeForce[1]! - toe.z * c.toeForce[0]!,
    },
    loadRoom(),
  );
  // Newton and Euler over the three parts with accelerations of a symbolic derivation, to the last printed digit
  ['270.767707', '-377.680572', '34.4345793', '-447.51166', '125.26405'].forEach((want, k) => {
    const half = 0.5 * 10 ** -want.split('.')[1]!.length;
    expect(Math.abs(load[k]! - Number(want))).toBeLessThan(1.01 * half);
  });
});

test('CTL-DYN-7: the body rides on the hip', () => {
  const leg = legChain({ ...TEST_LEG, body: 65 });
  const q = Float64Array.of(0, 0, 0.3141592653589793, 0.24434609527920614, -0.05235987755982989);
  const v = Float64Array.of(0.2, -0.1, -1.9, 1.2, 1.4);
  const terms = legTermsRoom();
  legTerms(leg, q, v, terms);
  const row = (i: number) => Array.from(terms.subarray(TERM.mass + 5 * i, TERM.mass + 5 * i + 5));
  const same = (got: ArrayLike<number>, want: readonly number[]) => {
    want.forEach((w, k) => {
      expect(Math.abs(got[k]! - w)).toBeLessThan(1e-8 * Math.max(1, Math.abs(w)));
    });
  };
  // symbolic Lagrange derivation with the body's mass on the hip, printed to ten digits
  same(row(0), [74.8, 0, 3.722347039, -1.027880846, 0.04862856679]);
  same(row(1), [0, 74.8, 1.100265115, -0.1669495561, 0.05035635503]);
  same(terms.subarray(TERM.bias, 40), [-4.635259697, 753.0661739, 11.42202391, -1.532273719, 0.737388543]);
  const force = new Float64Array(5);
  for (const push of [pushAt(terms, HEEL, -70, 420), pushAt(terms, TOE, -15, 180)])
    push.force.forEach((f, k) => {
      force[k]! += f;
    });
  force[1]! += 310;
  force[3]! -= 35;
  force[4]! -= 22;
  const a = Float64Array.of(-0.6, 0, -4, 0, 0);
  const needed = new Float64Array(5);
  solveMotion(terms, force, Int32Array.of(1, 3, 4), a, needed, motionRoom());
  same(a, [-0.6, 2.213566282, -4, -72.13271861, -323.3434329]);
  same(needed, [79.01546423, 0, 15.05928227, 0, 0]);
  expect(Math.abs(needed[0]! * v[0]! + needed[2]! * v[2]! - -12.8095435)).toBeLessThan(1e-6);
});

test('CTL-DYN-5: free swing keeps its energy, and Runge–Kutta meets the printed state', () => {
  const leg = legChain(TEST_LEG);
  const y = Float64Array.of(0.3, 1.1, 0.05, 2, -5, 1);
  const [q, v, a, room] = [new Float64Array(5), new Float64Array(5), new Float64Array(5), motionRoom()];
  const [terms, none, needed] = [legTermsRoom(), new Float64Array(5), new Float64Array(5)];
  const energy = () => {
    q.set(y.subarray(0, 3), 2);
    v.set(y.subarray(3), 2);
    legTerms(leg, q, v, terms);
    return terms[TERM.kinetic]! + terms[TERM.potential]!;
  };
  const step = rungeKutta4((state, out) => {
    q.set(state.subarray(0, 3), 2);
    v.set(state.subarray(3), 2);
    legTerms(leg, q, v, terms);
    a.fill(0);
    solveMotion(terms, none, JOINTS, a, needed, room);
    for (let k = 0; k < 3; k++) {
      out[k] = state[k + 3]!;
      out[k + 3] = a[k + 2]!;
    }
  }, 6);
  const before = energy();
  for (let k = 0; k < 5000; k++) step(y, 1e-4);
  // symbolic equations under the same integrator, and a general-purpose engine, agree in these digits
  const want = [
    0.3507694680573, -1.942658415991, -1.546213733288, -0.559466851339, -1.24303903008, -3.47740449783,
  ];
  want.forEach((w, k) => {
    expect(Math.abs(y[k]! - w)).toBeLessThan(1e-11);
  });
  expect(Math.abs(energy() - before)).toBeLessThan(1e-11);
  expect(Math.abs(before - -18.64030878084)).toBeLessThan(1e-10);
});

test('Newton–Euler from foot to hip, the other road, at 200 drawn states', () => {
  const random = drawn(7);
  const leg = legChain({ ...TEST_LEG, kneeOutputInertia: 0, ankleOutputInertia: 0 });
  const terms = legTermsRoom();
  for (let n = 0; n < 200; n++) {
    const draw = (size: number) => Float64Array.from({ length: 5 }, () => size * (random() - 0.5));
    const [q, v, a] = [draw(3), draw(8), draw(60)];
    legTerms(leg, q, v, terms);
    const torque = (i: number) => {
      let sum = terms[TERM.bias + i]!;
      for (let j = 0; j < 5; j++) sum += terms[TERM.mass + 5 * i + j]! * a[j]!;
      return sum;
    };
    const motion = (sign: readonly number[]) => ({
      angle: q[2]! + sign[0]! * q[3]! + sign[1]! * q[4]!,
      velocity: v[2]! + sign[0]! * v[3]! + sign[1]! * v[4]!,
      acceleration: a[2]! + sign[0]! * a[3]! + sign[1]! * a[4]!,
    });
    const instant = {
      thigh: motion([0, 0]),
      shank: motion([-1, 0]),
      foot: motion([-1, 1]),
      hip: { x: a[0]!, z: a[1]! },
    };
    const loads = inverseDynamics(TEST_LEG, instant, TEST_LEG.gravity, { hip: 0, knee: 0, ankle: 0 });
    [loads.hip, loads.knee, loads.ankle].forEach((want, k) => {
      expect(Math.abs(torque(k + 2) - want)).toBeLessThan(1e-10 * Math.max(1, Math.abs(want)));
    });
  }
});

test('M is symmetric and positive definite; the power of all forces is the change of energy', () => {
  const random = drawn(3);
  const leg = legChain({ ...TEST_LEG, body: 60 });
  const [terms, other, a, needed] = [
    legTermsRoom(),
    legTermsRoom(),
    new Float64Array(5),
    new Float64Array(5),
  ];
  const all = Int32Array.of(0, 1, 2, 3, 4);
  for (let n = 0; n < 50; n++) {
    const draw = (size: number) => Float64Array.from({ length: 5 }, () => size * (random() - 0.5));
    const [q, v, force] = [draw(2), draw(6), draw(200)];
    legTerms(leg, q, v, terms);
    for (let i = 0; i < 5; i++)
      for (let j = 0; j < i; j++) expect(terms[TERM.mass + 5 * i + j]).toBe(terms[TERM.mass + 5 * j + i]);
    let twice = 0;
    for (let i = 0; i < 5; i++)
      for (let j = 0; j < 5; j++) twice += v[i]! * terms[TERM.mass + 5 * i + j]! * v[j]!;
    expect(Math.abs(twice / 2 - terms[TERM.kinetic]!)).toBeLessThan(1e-10 * twice);
    expect(twice).toBeGreaterThan(0);
    solveMotion(terms, force, all, a, needed, motionRoom());
    const power = force.reduce((sum, f, k) => sum + f * v[k]!, 0);
    // dE/dt by central difference along the motion
    const h = 1e-5;
    const energyAt = (t: number) => {
      const qt = q.map((x, k) => x + v[k]! * t + (a[k]! * t * t) / 2);
      const vt = v.map((x, k) => x + a[k]! * t);
      legTerms(leg, qt, vt, other);
      return other[TERM.kinetic]! + other[TERM.potential]!;
    };
    const rate = (energyAt(h) - energyAt(-h)) / (2 * h);
    expect(Math.abs(rate - power)).toBeLessThan(1e-4 * Math.max(100, Math.abs(power)));
  }
});

test('a sole in the air feels nothing, and its lowest point is known', () => {
  const { q, v, terms } = at(CASES[0]!);
  q[HIP_Z] = 1;
  legTerms(legChain(TEST_LEG), q, v, terms);
  const [force, ground] = [new Float64Array(5), groundRoom()];
  const sole = {
    x: Float64Array.of(HEEL.x, TOE.x),
    z: Float64Array.of(HEEL.z, TOE.z),
    stiffness: Float64Array.of(4e5, 4e5),
    damping: 1,
    friction: 0.8,
    stickStiffness: 3e4,
    stickDamping: 150,
  };
  soleContact(sole, q, v, terms, new Float64Array(2), force, ground);
  expect([...force]).toEqual([0, 0, 0, 0, 0]);
  expect(ground[GROUND.up]).toBe(0);
  expect(ground[GROUND.lowest]).toBeCloseTo(1 - 0.935, 12);
});
