import { expect, test } from 'vitest';
import { inverseDynamics } from './inverse-dynamics.ts';
import { legPose, posedStride, pressureAhead, pressurePoint } from './pose.ts';
import type { LegSegments, Segment } from './stride.ts';

const segment = (length: number, mass: number): Segment => ({
  length,
  mass,
  centre: { x: 0, z: -length },
  inertia: 0,
});

const segments: LegSegments = {
  thighLength: 0.4,
  thighPart: segment(0.4, 1),
  shank: segment(0.43, 3),
  foot: segment(0.2, 1),
  sole: [
    { x: -0.06, z: -0.08 },
    { x: 0.18, z: -0.08 },
  ],
};

test('standing upright, everything hangs below the hip and the sole is level', () => {
  const pose = legPose(segments, 0, 0, 0);
  expect(pose.knee).toEqual({ x: 0, z: -0.4 });
  expect(pose.ankle.z).toBeCloseTo(-0.83, 12);
  expect(pose.lowest).toBeCloseTo(-0.91, 12);
  expect(pose.sole[0].z).toBe(pose.sole[1].z);
});

// docs/notation.md: knee forward of hip positive, knee flexion carries the shank back, dorsiflexion lifts the toe.
test('signs: a flexed hip brings the knee forward, a flexed knee the ankle back, dorsiflexion the toe up', () => {
  const quarter = Math.PI / 2;
  const sitting = legPose(segments, quarter, quarter, 0);
  expect(sitting.knee.x).toBeCloseTo(0.4, 12);
  expect(sitting.ankle.x).toBeCloseTo(0.4, 12);
  expect(sitting.ankle.z).toBeCloseTo(-0.43, 12);
  expect(legPose(segments, 0, quarter, 0).ankle.x).toBeCloseTo(-0.43, 12);
  const [heel, toe] = legPose(segments, 0, 0, 0.2).sole;
  expect(toe.z).toBeGreaterThan(heel.z);
});

test('virtual work: gravity on a point mass at the ankle asks of the knee what the height gains per radian', () => {
  // dE/dθ_knee by central differences of the pose, against Newton–Euler at rest
  const shank = { ...segment(0.43, 3), centre: { x: 0, z: -0.43 } };
  const massless = segment(0.1, 0);
  const [thigh, knee, h] = [0.3, 0.7, 1e-6];
  const height = (k: number) => legPose(segments, thigh, k, 0).ankle.z;
  const rest = (angle: number) => ({ angle, velocity: 0, acceleration: 0 });
  const loads = inverseDynamics(
    { thigh: { ...massless, length: 0.4 }, shank, foot: massless },
    { thigh: rest(thigh), shank: rest(thigh - knee), foot: rest(0), hip: { x: 0, z: 0 } },
    9.80665,
    { hip: 0, knee: 0, ankle: 0 },
  );
  expect((3 * 9.80665 * (height(knee + h) - height(knee - h))) / (2 * h)).toBeCloseTo(loads.knee, 6);
});

const flat = (value: number) => new Float64Array(201).fill(value);
const joint = (angle: Float64Array) => ({ angle }) as never;

test('a stride is posed on the ground and never in it; without a thigh angle it is not posed', () => {
  const percent = Float64Array.from({ length: 201 }, (_, i) => i / 2);
  const knee = percent.map((p) => 0.5 * (1 - Math.cos((2 * Math.PI * p) / 100)));
  const demand = {
    percent,
    stance: 0.62,
    thigh: percent.map((p) => 0.35 * Math.cos((2 * Math.PI * p) / 100)),
    joints: { knee: joint(knee), ankle: joint(flat(0)) },
  } as never;
  const posed = posedStride(demand, segments);
  posed!.poses.forEach(({ lowest }, i) => {
    const clearance = posed!.hipHeight[i] + lowest;
    expect(clearance).toBeGreaterThanOrEqual(-1e-12);
    if (i <= 124) expect(clearance).toBeCloseTo(0, 12);
  });
  expect(posedStride({ ...(demand as object), thigh: flat(Number.NaN) } as never, segments)).toBeUndefined();
});

test('the force balances the ankle: 100 N·m of plantarflexion under 1000 N stands 100 mm ahead, a shear moves it by h·F_x/F_z', () => {
  const upright = { vertical: 1000, foreAft: 0 };
  expect(pressurePoint(0, upright, 0.08, 800)).toBeCloseTo(0, 12);
  expect(pressurePoint(-100, upright, 0.08, 800)).toBeCloseTo(0.1, 12);
  const x = pressurePoint(-100, { vertical: 1000, foreAft: 150 }, 0.08, 800);
  expect(x).toBeCloseTo(0.1 - 0.012, 12);
  // moments about the ankle sum to zero: internal torque plus r × F
  expect(-100 + x * 1000 + 0.08 * 150).toBeCloseTo(0, 9);
  expect(pressurePoint(-1, { vertical: 39, foreAft: 0 }, 0.08, 800)).toBeNaN();
  expect(pressurePoint(-1, { vertical: Number.NaN, foreAft: 0 }, 0.08, 800)).toBeNaN();
});

test('sizing and coverage do not move the force: it stands where the published moment puts it', () => {
  const stride = (momentScale: number) =>
    ({
      joints: { ankle: { humanMoment: flat(-100 * momentScale), momentScale } },
      groundForce: { vertical: flat(1000), foreAft: flat(0) },
    }) as never;
  expect(pressureAhead(stride(1), 90, 0.08, 800)).toBeCloseTo(0.1, 12);
  expect(pressureAhead(stride(1.7), 90, 0.08, 800)).toBeCloseTo(0.1, 12);
});
