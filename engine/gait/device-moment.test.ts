import { referenceStrides } from '@striderule/reference';
import { expect, test } from 'vitest';
import { curveMean } from '../numeric/trapezoid.ts';
import { sampleCurve } from './curve.ts';
import { deviceMoment } from './device-moment.ts';
import { hipPath } from './hip-path.ts';
import type { LegMasses } from './inverse-dynamics.ts';
import type { JointName, Stride } from './stride.ts';

const strides = referenceStrides();
const WALKS = ['walk-slow', 'walk-natural', 'walk-fast'];

/**
 * A biological leg of the walking set's mean person, 68.5 kg and 1.71 m: masses, centres and radii of gyration of Winter,
 * Biomechanics and Motor Control of Human Movement, 4th ed. (2009), table 4.1 (after Dempster), lengths as shares of stature
 * after Drillis & Contini as quoted there. The foot's centre is put 6 cm before and 4 cm below the ankle: COMMON PRACTICE.
 */
const [M, H] = [68.5, 1.71];
function limb(mass: number, length: number, centre: { x: number; z: number }, gyration: number) {
  return { mass: mass * M, length: length * H, centre, inertia: mass * M * (gyration * length * H) ** 2 };
}
const BODY: LegMasses = {
  thigh: limb(0.1, 0.245, { x: 0, z: -0.433 * 0.245 * H }, 0.323),
  shank: limb(0.0465, 0.246, { x: 0, z: -0.433 * 0.246 * H }, 0.302),
  foot: limb(0.0145, 0.152, { x: 0.06, z: -0.04 }, 0.475),
};

/** Computed against published moment over mid swing, well inside both contacts: RMS as a share of the published range. */
function swingError(stride: Stride, joint: JointName): number {
  const computed = deviceMoment(stride, BODY)[joint];
  const published = sampleCurve(stride.joints[joint]!.moment!).value;
  let square = 0;
  let count = 0;
  for (let i = Math.ceil(200 * stride.stance) + 6; i <= 190; i++) {
    square += (computed[i] / M - published[i]) ** 2;
    count++;
  }
  return Math.sqrt(square / count) / (Math.max(...published) - Math.min(...published));
}

// What reference/README.md says of the walking set: a plain check of two sources, not an identity.
for (const id of WALKS) {
  test(`${id}: a biological leg on the published motion needs the published swing moments within 15 % of range`, () => {
    expect(swingError(strides[id], 'hip')).toBeLessThan(0.15);
    expect(swingError(strides[id], 'knee')).toBeLessThan(0.15);
    expect(swingError(strides[id], 'ankle')).toBeLessThan(0.03);
  });

  test(`${id}: the hip's acceleration brings hip and knee nearer to what was published`, () => {
    const { groundForce: _, ...still } = strides[id];
    for (const joint of ['hip', 'knee'] as const)
      expect(swingError(strides[id], joint)).toBeLessThan(swingError(still, joint));
  });

  test(`${id}: the turn of the knee's moment in mid swing falls where the published one falls`, () => {
    const turn = (m: ArrayLike<number>) => {
      for (let i = 140; i < 180; i++) if (m[i] <= 0 && m[i + 1] > 0) return i / 2;
      return Number.NaN;
    };
    const computed = turn(deviceMoment(strides[id], BODY).knee);
    const published = turn(sampleCurve(strides[id].joints.knee!.moment!).value);
    if (!Number.isNaN(published)) expect(Math.abs(computed - published)).toBeLessThan(5);
  });
}

test('at 95 % the natural knee needs 0.38 N·m/kg where 0.14 was published, as reference/README.md warns', () => {
  const i = 190;
  const published = sampleCurve(strides['walk-natural'].joints.knee!.moment!).value[i];
  // Bovi and others (2011), natural: 0.14 N·m/kg of flexor moment at 95 %
  expect(published).toBeCloseTo(0.14, 2);
  expect(deviceMoment(strides['walk-natural'], BODY).knee[i] / M / published).toBeGreaterThan(2);
});

test('the hip path closes: no momentum is gained, and the note says what the published forces missed', () => {
  for (const id of WALKS) {
    const { x, z, note } = hipPath(strides[id]);
    expect(curveMean(x)).toBeCloseTo(0, 10);
    expect(curveMean(z)).toBeCloseTo(0, 10);
    // two legs alike, half a stride apart: the path repeats every half stride
    for (let i = 0; i < 100; i++) expect(z[i]).toBeCloseTo(z[i + 100], 10);
    expect(note).toMatch(
      /mean is 1\.0\d\d body weights up, where 1 is true, and 0\.00\d forward, where 0 is/,
    );
  }
});

test('without ground force the hip is taken as still, and without a thigh nothing is computed: both are said', () => {
  const { groundForce: _, ...bare } = strides['walk-natural'];
  const still = hipPath(bare);
  expect(still.z.every((a) => a === 0)).toBe(true);
  expect(still.note).toBe(
    'Swing: the hip is taken as unaccelerated, no ground force was published with this stride.',
  );
  // on stairs it was, and the other leg does another thing
  const stairs = hipPath(strides['stair-ascent']);
  expect(stairs.z.every((a) => a === 0)).toBe(true);
  expect(stairs.note).toContain('on single stairs the other leg does not do the same');
  const ankleOnly = deviceMoment(strides['ankle-ramp-up'], BODY);
  expect(ankleOnly.knee.every(Number.isNaN)).toBe(true);
  expect(ankleOnly.note).toBe('No thigh angle with this stride: in swing the human moment is kept.');
});
