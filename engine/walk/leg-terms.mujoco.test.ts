// A general-purpose dynamics engine (MuJoCo, as mujoco-js) as witness of the leg's equations. Rotors are its armature; its own contact is
// switched off, and our forces are applied from outside between the two halves of a step: soft contact of its own would not match.
import loadMujoco from 'mujoco-js';
import { expect, test } from 'vitest';
import type { Segment } from '../gait/stride.ts';
import { legAngles } from './leg-angles.ts';
import { legChain } from './leg-chain.ts';
import { COORDINATES, legTerms, legTermsRoom, TERM } from './leg-terms.ts';
import { belowCut, LOAD, loadRoom, segmentLoad } from './segment-load.ts';
import { anchorsOf, GROUND, groundRoom, normalForce, soleContact, soleOf } from './sole-contact.ts';
import { drawn, pushAt, TEST_LEG } from './test-leg.ts';
import { motionRoom, solveMotion } from './test-motion.ts';

const mj = await loadMujoco();

const SOLE = [
  { x: -0.055, z: -0.085 },
  { x: 0, z: -0.085 },
  { x: 0.06, z: -0.085 },
  { x: 0.115, z: -0.083 },
  { x: 0.15, z: -0.07 },
  { x: 0.175, z: -0.05 },
] as const;
const HEEL_AND_TOE = [
  { x: -0.055, z: -0.085 },
  { x: 0.175, z: -0.085 },
] as const;

const inertial = ({ mass, centre, inertia }: Segment) =>
  `<inertial pos="${centre.x} 0 ${centre.z}" mass="${mass}" diaginertia="${inertia} ${inertia} ${inertia}"/>`;

/** The test leg; with `body` it hangs from a body that slides, else from a fixed hip. */
function modelOf(
  sites: readonly { readonly x: number; readonly z: number }[],
  { body = 0, integrator = 'Euler' } = {},
) {
  const { thigh, shank, foot, kneeOutputInertia, ankleOutputInertia, gravity } = TEST_LEG;
  const slides =
    body === 0
      ? ''
      : `<joint type="slide" axis="1 0 0"/><joint type="slide" axis="0 0 1"/><inertial pos="0 0 0" mass="${body}" diaginertia="1 1 1"/>`;
  const xml = `<mujoco><compiler angle="radian" inertiafromgeom="false" balanceinertia="false" boundmass="0" boundinertia="0"/>
    <option timestep="0.0001" gravity="0 0 -${gravity}" integrator="${integrator}"><flag contact="disable"/></option><worldbody><body>${slides}
    <body><joint type="hinge" axis="0 -1 0"/>${inertial(thigh)}
    <body pos="0 0 ${-thigh.length}"><joint type="hinge" axis="0 1 0" armature="${kneeOutputInertia}"/>${inertial(shank)}
    <body pos="0 0 ${-shank.length}"><joint type="hinge" axis="0 -1 0" armature="${ankleOutputInertia}"/>${inertial(foot)}
    ${sites.map(({ x, z }) => `<site pos="${x} 0 ${z}"/>`).join('')}</body></body></body></body></worldbody></mujoco>`;
  mj.FS.writeFile('/walk.xml', xml);
  const model = mj.MjModel.loadFromXML('/walk.xml');
  return { model, data: new mj.MjData(model) };
}

const apart = (a: ArrayLike<number>, b: ArrayLike<number>) =>
  Array.from(a).reduce((worst, x, k) => Math.max(worst, Math.abs(x - b[k]!)), 0);

test('M, h, accelerations, Jacobians and contact mapping of a leg under a 65 kg body, 30 drawn states, 1e-10', () => {
  const { model, data } = modelOf(SOLE, { body: 65 });
  const leg = legChain({ ...TEST_LEG, body: 65 });
  const [terms, random, all] = [legTermsRoom(), drawn(11), Int32Array.of(0, 1, 2, 3, 4)];
  for (let n = 0; n < 30; n++) {
    const draw = (size: number) => Float64Array.from({ length: 5 }, () => size * (random() - 0.5));
    const [q, v, force] = [draw(2), draw(6), draw(100)];
    data.qpos.set(q);
    data.qvel.set(v);
    data.qfrc_applied.set(force);
    mj.mj_forward(model, data);
    legTerms(leg, q, v, terms);
    const full = new mj.DoubleBuffer(25);
    mj.mj_fullM(model, full, data.qM);
    expect(apart(full.GetView(), terms.subarray(TERM.mass, TERM.bias))).toBeLessThan(1e-10);
    expect(apart(data.qfrc_bias, terms.subarray(TERM.bias))).toBeLessThan(1e-10);
    const a = new Float64Array(5);
    solveMotion(terms, force, all, a, new Float64Array(5), motionRoom());
    const scale = Math.max(...a.map(Math.abs));
    expect(apart(data.qacc, a)).toBeLessThan(1e-10 * Math.max(1, scale));
    const push = new mj.DoubleBuffer(5);
    SOLE.forEach((point, k) => {
      const ours = pushAt(terms, point, -60, 500);
      const site = data.site_xpos.slice(3 * k, 3 * k + 3);
      expect(apart([site[0]!, site[2]!], [q[0]! + ours.x, q[1]! + ours.z])).toBeLessThan(1e-12);
      push.GetView().fill(0);
      mj.mj_applyFT(model, data, [-60, 0, 500], [0, 0, 0], Array.from(site), model.nbody - 1, push);
      expect(apart(push.GetView(), ours.force)).toBeLessThan(1e-10);
    });
    full.delete();
    push.delete();
  }
  data.delete();
  model.delete();
});

test('hip force and torque with hip and thigh prescribed, by its inverse dynamics, 1e-10', () => {
  const { model, data } = modelOf(SOLE, { body: 65 });
  const leg = legChain({ ...TEST_LEG, body: 65 });
  const [terms, random] = [legTermsRoom(), drawn(5)];
  for (let n = 0; n < 20; n++) {
    const draw = (size: number) => Float64Array.from({ length: 5 }, () => size * (random() - 0.5));
    const [q, v, a] = [draw(1), draw(5), draw(20)];
    legTerms(leg, q, v, terms);
    const toe = pushAt(terms, SOLE[5], -50, 600);
    const force = Float64Array.from(toe.force);
    force[1]! += 200;
    force[3]! += 30;
    force[4]! -= 60;
    const needed = new Float64Array(5);
    solveMotion(terms, force, Int32Array.of(1, 3, 4), a, needed, motionRoom());
    data.qpos.set(q);
    data.qvel.set(v);
    data.qacc.set(a);
    mj.mj_inverse(model, data);
    const theirs = Array.from(data.qfrc_inverse as Float64Array, (f, k) => f - force[k]!);
    expect(apart(theirs, needed)).toBeLessThan(
      1e-10 * Math.max(1, apart(data.qfrc_inverse, new Float64Array(5))),
    );
    // all that hangs from the hip, cut there: the force on the leg is the body's share less
    const load = segmentLoad(
      belowCut({
        gravity: TEST_LEG.gravity,
        cut: { x: 0, z: 0 },
        thigh: TEST_LEG.thigh,
        shank: TEST_LEG.shank,
        foot: TEST_LEG.foot,
      }),
      legAngles(q),
      v,
      a,
      { forward: -50, up: 600, aboutHip: toe.x * 600 - toe.z * -50 },
      loadRoom(),
    );
    expect(Math.abs(load[LOAD.moment]! - needed[2]!)).toBeLessThan(1e-9);
    expect(Math.abs(load[LOAD.forward]! + 65 * a[0]! - needed[0]!)).toBeLessThan(1e-9);
    expect(Math.abs(load[LOAD.up]! + 65 * (a[1]! + TEST_LEG.gravity) - 200)).toBeLessThan(1e-9);
  }
  data.delete();
  model.delete();
});

/** Held towards a moving pose by springs and dampers over a belt, semi-implicit steps; `ground` adds to the generalised force. */
const GAINS = { stiffness: [120, 150, 200], damping: [6, 4, 4] } as const;
const target = (t: number) => [0.35 - 0.9 * t, 0.15, 0];
const START = { q: [0.4, 0.2, 0.05], v: [-1, -0.5, 0] } as const;
const held = (t: number, q: ArrayLike<number>, v: ArrayLike<number>, k: number) =>
  GAINS.stiffness[k]! * (target(t)[k]! - q[k]!) - GAINS.damping[k]! * v[k]!;
const [STEP, STEPS, FLOOR, BELT] = [1e-4, 4000, 0.905, 1.2];

function ours(
  ground: (q: Float64Array, v: Float64Array, terms: Float64Array, t: number, force: Float64Array) => void,
) {
  const leg = legChain(TEST_LEG);
  const q = Float64Array.of(0, FLOOR, ...START.q);
  const v = Float64Array.of(0, 0, ...START.v);
  const [terms, force, a, room] = [legTermsRoom(), new Float64Array(5), new Float64Array(5), motionRoom()];
  for (let n = 0; n < STEPS; n++) {
    legTerms(leg, q, v, terms);
    force.fill(0);
    for (let k = 0; k < 3; k++) force[k + 2] = held(n * STEP, q.subarray(2), v.subarray(2), k);
    ground(q, v, terms, n * STEP, force);
    a.fill(0);
    solveMotion(terms, force, Int32Array.of(2, 3, 4), a, new Float64Array(5), room);
    for (let k = 2; k < COORDINATES; k++) {
      v[k]! += STEP * a[k]!;
      q[k]! += STEP * v[k]!;
    }
  }
  return { q: q.subarray(2), v: v.subarray(2) };
}

test('CTL-DYN-6: 0.4 s over a belt with a friction that creeps, against the printed state and the engine', () => {
  let peak = 0;
  const law = (height: number, vx: number, vz: number) => {
    const up = normalForce(4e5, 1, -height, -vz);
    peak = Math.max(peak, up);
    return [-0.8 * up * Math.tanh((vx + BELT) / 0.05), up] as const;
  };
  const got = ours((q, v, terms, _, force) => {
    for (const point of HEEL_AND_TOE) {
      const vx = pushAt(terms, point, 1, 0).force.reduce((sum, j, k) => sum + j * v[k]!, 0);
      const vz = pushAt(terms, point, 0, 1).force.reduce((sum, j, k) => sum + j * v[k]!, 0);
      const [forward, up] = law(q[1]! + pushAt(terms, point, 0, 0).z, vx, vz);
      const push = pushAt(terms, point, forward, up).force;
      for (let k = 2; k < COORDINATES; k++) force[k]! += push[k]!;
    }
  });
  const { model, data } = modelOf(HEEL_AND_TOE);
  data.qpos.set(START.q);
  data.qvel.set(START.v);
  const [position, rotation] = [new mj.DoubleBuffer(9), new mj.DoubleBuffer(9)];
  for (let n = 0; n < STEPS; n++) {
    mj.mj_step1(model, data);
    const force = [0, 1, 2].map((k) => held(n * STEP, data.qpos, data.qvel, k));
    for (const site of [0, 1]) {
      mj.mj_jacSite(model, data, position, rotation, site);
      const jacobian = position.GetView();
      const along = (row: number) =>
        [0, 1, 2].reduce((sum, k) => sum + jacobian[3 * row + k]! * data.qvel[k]!, 0);
      const [forward, up] = law(FLOOR + data.site_xpos[3 * site + 2]!, along(0), along(2));
      for (let k = 0; k < 3; k++) force[k]! += jacobian[k]! * forward + jacobian[6 + k]! * up;
    }
    data.qfrc_applied.set(force);
    mj.mj_step2(model, data);
  }
  expect(apart(got.q, data.qpos)).toBeLessThan(1e-9);
  expect(apart(got.v, data.qvel)).toBeLessThan(1e-9);
  // two programs of other authors agree in these digits
  expect(apart(got.q, [-0.116659937531, 0.223390013743, 0.300949382542])).toBeLessThan(1e-10);
  expect(apart(got.v, [-2.6475148597, -2.56943614001, -0.571671228932])).toBeLessThan(1e-9);
  expect(Math.abs(peak - 535.4244046)).toBeLessThan(1e-6);
  data.delete();
  model.delete();
});

test('0.4 s on six points that stick, the point forces applied to the engine’s own foot, 1e-9', () => {
  const sole = soleOf(SOLE, { heelStiffness: 4e5, toeStiffness: 5e5, damping: 1 });
  const anchors = anchorsOf(sole);
  const room = groundRoom();
  let most = 0;
  const got = ours((q, v, terms, t, force) => {
    room[GROUND.travel] = BELT * t;
    room[GROUND.belt] = BELT;
    soleContact(sole, q, v, terms, anchors, force, room);
    most = Math.max(most, room[GROUND.up]!);
  });
  expect(most).toBeGreaterThan(300);
  const { model, data } = modelOf(SOLE);
  data.qpos.set(START.q);
  data.qvel.set(START.v);
  const own = anchorsOf(sole);
  const [position, rotation, push] = [new mj.DoubleBuffer(9), new mj.DoubleBuffer(9), new mj.DoubleBuffer(3)];
  for (let n = 0; n < STEPS; n++) {
    mj.mj_step1(model, data);
    const force = [0, 1, 2].map((k) => held(n * STEP, data.qpos, data.qvel, k));
    for (let i = 0; i < SOLE.length; i++) {
      // the law written out once more, on the engine's kinematics
      mj.mj_jacSite(model, data, position, rotation, i);
      const jacobian = position.GetView();
      const along = (row: number) =>
        [0, 1, 2].reduce((sum, k) => sum + jacobian[3 * row + k]! * data.qvel[k]!, 0);
      const site = Array.from(data.site_xpos.slice(3 * i, 3 * i + 3) as Float64Array);
      const depth = -(FLOOR + site[2]!);
      const place = site[0]! + BELT * n * STEP;
      if (depth <= 0) {
        own[i] = Number.NaN;
        continue;
      }
      if (Number.isNaN(own[i]!)) own[i] = place;
      const up = Math.max(0, (SOLE[i]!.x > 0 ? 5e5 : 4e5) * depth ** 1.5 * (1 - along(2)));
      const free = -3e4 * (place - own[i]!) - 150 * (along(0) + BELT);
      const forward = Math.max(-0.8 * up, Math.min(0.8 * up, free));
      if (forward !== free) own[i] = place + forward / 3e4;
      push.GetView().fill(0);
      mj.mj_applyFT(model, data, [forward, 0, up], [0, 0, 0], site, model.nbody - 1, push);
      for (let k = 0; k < 3; k++) force[k]! += push.GetView()[k]!;
    }
    data.qfrc_applied.set(force);
    mj.mj_step2(model, data);
  }
  expect(apart(got.q, data.qpos)).toBeLessThan(1e-9);
  expect(apart(got.v, data.qvel)).toBeLessThan(1e-9);
  data.delete();
  model.delete();
});
