import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import loadMujoco from 'mujoco-js';
import { expect, test } from 'vitest';
import { inverseDynamics, type LegInstant, type LegMasses } from './inverse-dynamics.ts';

/** Invented round numbers; the joint torques below were derived from them by a symbolic Lagrangian (see the fixture). */
const LEG: LegMasses = {
  thigh: { length: 0.42, mass: 5.5, inertia: 0.085, centre: { x: 0.01, z: -0.19 } },
  shank: { length: 0.43, mass: 3.2, inertia: 0.048, centre: { x: 0.015, z: -0.16 } },
  foot: { length: 0, mass: 1.1, inertia: 0.0065, centre: { x: 0.045, z: -0.045 } },
};
const G = 9.81;

function instant(q: number[], v: number[], a: number[], hip: number[]): LegInstant {
  const chain = (x: number[]) => [x[0], x[0] - x[1], x[0] - x[1] + x[2]];
  const [f, w, e] = [chain(q), chain(v), chain(a)];
  const motion = (i: number) => ({ angle: f[i], velocity: w[i], acceleration: e[i] });
  return { thigh: motion(0), shank: motion(1), foot: motion(2), hip: { x: hip[0], z: hip[1] } };
}
const loads = (q: number[], v: number[], a: number[], hip = [0, 0], leg = LEG) => {
  const l = inverseDynamics(leg, instant(q, v, a, hip), G, { hip: 0, knee: 0, ankle: 0 });
  return [l.hip, l.knee, l.ankle];
};

// reference/gait/tables/leg-dynamics.json: mass matrix and bias of a symbolic Lagrange derivation, ten printed digits
const CASES = JSON.parse(
  readFileSync(new URL('../../reference/gait/tables/leg-dynamics.json', import.meta.url), 'utf8'),
).cases;

for (const c of CASES) {
  test(`CTL-${c.id}: M·q̈ + h of the symbolic derivation`, () => {
    const rotors = [0, 0.045, 0.06];
    const still = loads(c.q, c.v, [0, 0, 0], c.hip);
    still.forEach((x, i) => {
      expect(x).toBeCloseTo(c.h[i], 7);
    });
    for (let j = 0; j < 3; j++) {
      const unit = [0, 0, 0].map((_, i) => (i === j ? 1 : 0));
      loads(c.q, c.v, unit, c.hip).forEach((x, i) => {
        expect(x - still[i] + (i === j ? rotors[j] : 0)).toBeCloseTo(c.M[i][j], 7);
      });
    }
  });
}

/** The same chain as a model of the general-purpose engine; the hip hangs on two slides, so that its acceleration is a coordinate. */
function modelText(leg: LegMasses): string {
  const body = (s: LegMasses['foot']) =>
    `<inertial pos="${s.centre.x} 0 ${s.centre.z}" mass="${s.mass}" diaginertia="${s.inertia} ${s.inertia} ${s.inertia}"/>`;
  return `<mujoco><compiler angle="radian" inertiafromgeom="false" balanceinertia="false" boundmass="0" boundinertia="0"/>
    <option gravity="0 0 -${G}"><flag contact="disable"/></option><worldbody><body>
    <joint type="slide" axis="1 0 0"/><joint type="slide" axis="0 0 1"/><joint type="hinge" axis="0 -1 0"/>${body(leg.thigh)}
    <body pos="0 0 ${-leg.thigh.length}"><joint type="hinge" axis="0 1 0"/>${body(leg.shank)}
    <body pos="0 0 ${-leg.shank.length}"><joint type="hinge" axis="0 -1 0"/>${body(leg.foot)}</body></body></body></worldbody></mujoco>`;
}

// four decimals: the model text of the other engine does not read the smallest numbers
const between = (min: number, max: number) =>
  fc.integer({ min: min * 1e4, max: max * 1e4 }).map((x) => x / 1e4);
const anySegment = fc
  .tuple(between(0.2, 0.6), between(0.3, 9), between(0.002, 0.2), between(-0.1, 0.1), between(-0.4, 0.1))
  .map(([length, mass, inertia, x, z]) => ({ length, mass, inertia, centre: { x, z } }));
const anyLeg: fc.Arbitrary<LegMasses> = fc.record({
  thigh: anySegment,
  shank: anySegment,
  foot: anySegment,
});

test('agrees with a general-purpose engine (mj_inverse) to 1e-10 at random instants of random legs', async () => {
  const mj = await loadMujoco();
  const states = fc.array(
    fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 11, maxLength: 11 }),
    { minLength: 10, maxLength: 10 },
  );
  const legs = fc.oneof({ weight: 1, arbitrary: fc.constant(LEG) }, { weight: 3, arbitrary: anyLeg });
  fc.assert(
    fc.property(legs, states, (leg, instants) => {
      mj.FS.writeFile('/leg.xml', modelText(leg));
      const model = mj.MjModel.loadFromXML('/leg.xml');
      const data = new mj.MjData(model);
      const same = instants.every((s) => {
        const [q, v, a, hip] = [s.slice(0, 3), s.slice(3, 6), s.slice(6, 9), s.slice(9)];
        data.qpos.set([0, 0, ...q]);
        data.qvel.set([0, 0, ...v]);
        data.qacc.set([...hip, ...a]);
        mj.mj_inverse(model, data);
        const theirs = Array.from(data.qfrc_inverse as Float64Array).slice(2);
        return loads(q, v, a, hip, leg).every((x, i) => Math.abs(x - theirs[i]) < 1e-10 * (1 + Math.abs(x)));
      });
      data.delete();
      model.delete();
      return same;
    }),
    { seed: 7, numRuns: 40 },
  );
});

test('torques are linear in mass', () => {
  const double = Object.fromEntries(
    Object.entries(LEG).map(([k, s]) => [k, { ...s, mass: 2 * s.mass, inertia: 2 * s.inertia }]),
  ) as unknown as LegMasses;
  const [one, two] = [
    loads([0.3, 0.9, 0.1], [1, -4, 2], [9, -30, 5], [1, 2]),
    loads([0.3, 0.9, 0.1], [1, -4, 2], [9, -30, 5], [1, 2], double),
  ];
  one.forEach((x, i) => {
    expect(two[i]).toBeCloseTo(2 * x, 10);
  });
});

/** Kinetic and potential energy of the hanging chain, hip at rest, from positions and velocities alone. */
function energy(q: number[], v: number[]): number {
  const f = [q[0], q[0] - q[1], q[0] - q[1] + q[2]];
  const w = [v[0], v[0] - v[1], v[0] - v[1] + v[2]];
  let [jx, jz, ux, uz, total] = [0, 0, 0, 0, 0];
  for (const [i, s] of [LEG.thigh, LEG.shank, LEG.foot].entries()) {
    const [c, d] = [Math.cos(f[i]), Math.sin(f[i])];
    const [rx, rz] = [s.centre.x * c - s.centre.z * d, s.centre.x * d + s.centre.z * c];
    const [vx, vz] = [ux - w[i] * rz, uz + w[i] * rx];
    total += (s.mass * (vx * vx + vz * vz)) / 2 + (s.inertia * w[i] ** 2) / 2 + s.mass * G * (jz + rz);
    const [lx, lz] = [s.length * d, -s.length * c];
    [ux, uz, jx, jz] = [ux - w[i] * lz, uz + w[i] * lx, jx + lx, jz + lz];
  }
  return total;
}

const three = fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 3, maxLength: 3 });

test('the power of the three torques is the rate at which the chain’s energy changes', () => {
  fc.assert(
    fc.property(three, three, three, (q, v, a) => {
      const step = 1e-4;
      const at = (t: number) =>
        energy(
          q.map((x, i) => x + v[i] * t + (a[i] * t * t) / 2),
          v.map((x, i) => x + a[i] * t),
        );
      const rate = (8 * (at(step) - at(-step)) - (at(2 * step) - at(-2 * step))) / (12 * step);
      const power = loads(q, v, a).reduce((sum, torque, i) => sum + torque * v[i], 0);
      return Math.abs(power - rate) < 1e-6 * (1 + Math.abs(power));
    }),
    { seed: 2, numRuns: 200 },
  );
});

test('run backwards, a motion needs the same torques; a falling hip is less gravity', () => {
  fc.assert(
    fc.property(three, three, three, (q, v, a) => {
      const forth = loads(q, v, a);
      const back = loads(
        q,
        v.map((x) => -x),
        a,
      );
      const weightless = loads(q, v, a, [0, -G]);
      const lifted = loads(q, v, a, [0, G]);
      // linear in hip acceleration: gravity's share is the same step each time
      return forth.every(
        (x, i) =>
          Math.abs(back[i] - x) < 1e-9 * (1 + Math.abs(x)) &&
          Math.abs(lifted[i] - x - (x - weightless[i])) < 1e-9 * (1 + Math.abs(x)),
      );
    }),
    { seed: 4, numRuns: 100 },
  );
});

test('hanging free under a falling hip, the leg asks for nothing', () => {
  loads([0.4, 0.7, -0.2], [0, 0, 0], [0, 0, 0], [0, -G]).forEach((x) => {
    expect(x).toBeCloseTo(0, 12);
  });
});
