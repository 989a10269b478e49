import { referenceStrides } from '@striderule/reference';
import { describe, expect, test } from 'vitest';
import { rungeKutta4 } from '../numeric/runge-kutta.ts';
import { carriedLimb } from './carried-limb.ts';
import { sampleCurve } from './curve.ts';
import { deviceMasses, deviceMoment } from './device-moment.ts';
import { GRAVITY } from './inverse-dynamics.ts';
import type { LegSegments, Stride, StrideCurve } from './stride.ts';

const cut = (mass: number, inertia: number, length: number, x: number, z: number) => ({
  mass,
  inertia,
  length,
  centre: { x, z },
});
const segments: LegSegments = {
  thighLength: 0.42,
  thighPart: cut(1.3, 0.01, 0, 0, -0.36),
  shank: cut(2.9, 0.043, 0.43, 0.012, -0.165),
  foot: cut(1.1, 0.0065, 0, 0.045, -0.045),
  sole: [],
};
const walk = referenceStrides()['walk-natural'];

/** The walk with everything but the knee standing still: thigh vertical, ankle at neutral, hip unaccelerated. */
function standing(): Stride {
  const still: StrideCurve = { form: 'series', mean: 0, drift: 0, cos: [], sin: [] };
  const { groundForce: _, ...rest } = walk;
  return { ...rest, thigh: still, joints: { knee: { angle: still }, ankle: { angle: still } } };
}

test('under a still thigh it is a pendulum: torque of two weights and inertia by hand', () => {
  const limb = carriedLimb(standing(), segments, 60)!;
  const inertia = 0.043 + 2.9 * (0.012 ** 2 + 0.165 ** 2) + 0.0065 + 1.1 * (0.045 ** 2 + 0.475 ** 2);
  for (const flexion of [0, 0.3, 1]) {
    // flexing turns the shank backward, φ = −flexion; forward place of a centre (x, z) is x·cos φ − z·sin φ, and a weight
    // ahead of the knee flexes it
    const ahead = (x: number, z: number) => x * Math.cos(-flexion) - z * Math.sin(-flexion);
    const torque = GRAVITY * (2.9 * ahead(0.012, -0.165) + 1.1 * ahead(0.045, -0.475));
    const load = limb(0.1, flexion, 2, { inertia: 0, torque: 0 });
    expect(load.torque).toBeCloseTo(torque, 9);
    expect(load.inertia).toBeCloseTo(inertia, 9);
  }
});

describe('natural walking', () => {
  const knee = sampleCurve(walk.joints.knee!.angle);
  const rate = 100 / walk.strideTime;
  const driven = deviceMoment(walk, deviceMasses(segments)).knee;

  test('on the stride’s own motion it needs the stride’s own moment', () => {
    for (const i of [126, 150, 199]) {
      const load = carriedLimb(walk, segments, i / 2)!(0, knee.value[i], knee.slope[i] * rate, {
        inertia: 0,
        torque: 0,
      });
      expect(load.inertia * knee.curvature[i] * rate * rate - load.torque).toBeCloseTo(driven[i], 9);
    }
  });

  test('driven by that moment from toe-off on it swings as the stride does, to a tenth of a degree', () => {
    const from = 124;
    const limb = carriedLimb(walk, segments, from / 2)!;
    const load = { inertia: 0, torque: 0 };
    const step = rungeKutta4((y, out) => {
      limb(y[2], y[0], y[1], load);
      const place = Math.min(199.999999, from + 2 * rate * y[2]);
      const i = Math.floor(place);
      out[0] = y[1];
      out[1] = (load.torque + driven[i] + (place - i) * (driven[i + 1] - driven[i])) / load.inertia;
      out[2] = 1;
    }, 3);
    const y = Float64Array.of(knee.value[from], knee.slope[from] * rate, 0);
    for (let i = from; i < 200; i++) {
      for (let k = 0; k < 4; k++) step(y, 1 / (8 * rate));
      expect((Math.abs(y[0] - knee.value[i + 1]) * 180) / Math.PI).toBeLessThan(0.1);
    }
  });
});

test('without a thigh there is nothing to carry it', () => {
  const { thigh: _, ...rest } = walk;
  expect(carriedLimb(rest, segments, 60)).toBeUndefined();
});
