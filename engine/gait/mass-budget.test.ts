import { referenceStrides } from '@striderule/reference';
import { expect, test } from 'vitest';
import { curveAt } from './curve.ts';
import { gaitDemand } from './demand.ts';
import { hipPath } from './hip-path.ts';
import { GRAVITY } from './inverse-dynamics.ts';
import type { LegSegments } from './stride.ts';

const strides = referenceStrides();
const leg: LegSegments = {
  thighLength: 0.42,
  thighPart: { length: 0.1, mass: 1.3, inertia: 0.01, centre: { x: 0, z: -0.35 } },
  shank: { length: 0.43, mass: 2.9, inertia: 0.045, centre: { x: 0.01, z: -0.17 } },
  foot: { length: 0.2, mass: 1.1, inertia: 0.006, centre: { x: 0.045, z: -0.045 } },
  sole: [],
};
const demand = (id: string) => {
  const d = gaitDemand(
    { kind: 'stride', id, title: id, stride: id, coverage: 0, ankleSizing: 'curve', duty: {} },
    strides,
    { code: 'T', mass: 80, height: 1.75, side: 'left' },
    leg,
  );
  if (d.kind !== 'stride') throw new Error('kind');
  return d;
};

/** Hip to the centres of shank and foot at `percent`, by plane geometry. */
function centres(id: string, percent: number) {
  const { thigh, joints } = strides[id];
  const one = curveAt(thigh!, percent).value;
  const two = one - curveAt(joints.knee!.angle, percent).value;
  const three = two + curveAt(joints.ankle!.angle, percent).value;
  const turn = (a: number, x: number, z: number) => [
    x * Math.cos(a) - z * Math.sin(a),
    x * Math.sin(a) + z * Math.cos(a),
  ];
  const add = (a: number[], b: number[]) => [a[0] + b[0], a[1] + b[1]];
  const knee = turn(one, 0, -leg.thighLength);
  const ankle = add(knee, turn(two, 0, -leg.shank.length));
  return {
    knee,
    shank: add(knee, turn(two, leg.shank.centre.x, leg.shank.centre.z)),
    foot: add(ankle, turn(three, leg.foot.centre.x, leg.foot.centre.z)),
  };
}

// A second route: 100 g as a point on a path, its acceleration by differences of the path, its moment by lever × force.
for (const where of ['shank', 'foot'] as const) {
  for (const id of ['walk-natural', 'walk-fast']) {
    test(`${id}: 100 g at the ${where} as a point mass on its path cost hip and knee the same`, () => {
      const d = demand(id);
      const path = hipPath(strides[id]);
      const step = 0.05; // per cent
      const seconds = (step / 100) * strides[id].strideTime;
      let [hip, knee] = [0, 0];
      for (let i = 110; i < 200; i++) {
        const [before, now, after] = [-step, 0, step].map((s) => centres(id, i / 2 + s));
        const a = [0, 1].map((k) => (before[where][k] - 2 * now[where][k] + after[where][k]) / seconds ** 2);
        const force = [0.1 * (a[0] + path.x[i]), 0.1 * (a[1] + path.z[i] + GRAVITY)];
        const moment = (x: number, z: number) =>
          Math.abs((1 - d.stanceWeight[i]) * (x * force[1] - z * force[0]));
        hip = Math.max(hip, moment(now[where][0], now[where][1]));
        knee = Math.max(knee, moment(now[where][0] - now.knee[0], now[where][1] - now.knee[1]));
      }
      const cost = d.massBudget.find((c) => c.where === where)!;
      expect(cost.added).toBe(0.1);
      expect(cost.hipMoment / hip).toBeCloseTo(1, 3);
      expect(cost.kneeMoment / knee).toBeCloseTo(1, 3);
    });
  }
}

test('mass costs more the further down it sits and the faster one walks', () => {
  const hip = (id: string, where: string) => demand(id).massBudget.find((c) => c.where === where)!.hipMoment;
  expect(hip('walk-natural', 'foot')).toBeGreaterThan(2 * hip('walk-natural', 'shank'));
  expect(hip('walk-fast', 'foot')).toBeGreaterThan(hip('walk-natural', 'foot'));
  expect(hip('walk-natural', 'foot')).toBeGreaterThan(hip('walk-slow', 'foot'));
});

test('where swing is unknown there is no budget rather than a zero', () => {
  for (const id of ['ankle-level', 'run-2p5']) expect(demand(id).massBudget).toEqual([]);
});
