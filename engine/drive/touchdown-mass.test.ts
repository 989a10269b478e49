import { expect, test } from 'vitest';
import { inverseDynamics, type LegMasses } from '../gait/inverse-dynamics.ts';
import { legPose } from '../gait/pose.ts';
import type { LegSegments } from '../gait/stride.ts';
import { near } from './test-motor.ts';
import { touchdownMass } from './touchdown-mass.ts';

const segments: LegSegments = {
  thighLength: 0.42,
  thighPart: { length: 0, mass: 1.3, inertia: 0.0095, centre: { x: 0, z: -0.36 } },
  shank: { length: 0.43, mass: 2.9, inertia: 0.043, centre: { x: 0.012, z: -0.165 } },
  foot: { length: 0, mass: 1.1, inertia: 0.0065, centre: { x: 0.045, z: -0.045 } },
  sole: [
    { x: -0.055, z: -0.085 },
    { x: 0.115, z: -0.083 },
    { x: 0.175, z: -0.05 },
  ],
};
const pose = { thigh: 0.41, knee: 0.13, ankle: -0.04 };

test('second route: a force on the heel, the torques of inverse dynamics, and how fast the heel then rises', () => {
  const rotors = { knee: 0.114, ankle: 0.1 };
  const masses: LegMasses = {
    thigh: { ...segments.thighPart, length: segments.thighLength, mass: 0, inertia: 0 },
    shank: segments.shank,
    foot: segments.foot,
  };
  const still = (angle: number, acceleration: number) => ({ angle, velocity: 0, acceleration });
  // joint torques that a joint acceleration needs, without gravity: columns of the mass matrix in knee and ankle angle
  const column = (knee: number, ankle: number): [number, number] => {
    const [shank, foot] = [pose.thigh - pose.knee, pose.thigh - pose.knee + pose.ankle];
    const at = {
      thigh: still(pose.thigh, 0),
      shank: still(shank, -knee),
      foot: still(foot, ankle - knee),
      hip: { x: 0, z: 0 },
    };
    const loads = inverseDynamics(masses, at, 0, { hip: 0, knee: 0, ankle: 0 });
    return [loads.knee + rotors.knee * knee, loads.ankle + rotors.ankle * ankle];
  };
  const [a, b] = column(1, 0);
  const [c, d] = column(0, 1);
  near(b, c, 1e-12);
  // rise of the heel per rad of either joint, by differences of the pose itself
  const heel = (knee: number, ankle: number): number =>
    legPose(segments, pose.thigh, pose.knee + knee, pose.ankle + ankle).sole[0].z;
  const e = 1e-6;
  const [jk, ja] = [(heel(e, 0) - heel(-e, 0)) / (2 * e), (heel(0, e) - heel(0, -e)) / (2 * e)];
  // unit force → joint accelerations → the heel's
  const determinant = a * d - b * c;
  const rise = (jk * (d * jk - c * ja) + ja * (a * ja - b * jk)) / determinant;
  const found = touchdownMass(segments, pose, rotors);
  expect(found.point).toBe(0);
  expect(found.ahead).toBe(-0.055);
  near(found.mass, 1 / rise, 1e-7);
});

test('ankle locked by a heavy rotor: shank and foot are one body that turns about the knee', () => {
  const { mass } = touchdownMass(segments, pose, { knee: 0.114, ankle: 1e9 });
  const at = legPose(segments, pose.thigh, pose.knee, pose.ankle);
  const [shank, foot] = [pose.thigh - pose.knee, pose.thigh - pose.knee + pose.ankle];
  const turned = (angle: number, x: number, z: number) => ({
    x: x * Math.cos(angle) - z * Math.sin(angle),
    z: x * Math.sin(angle) + z * Math.cos(angle),
  });
  const l = turned(shank, 0, -0.43);
  const f = turned(foot, 0.045, -0.045);
  const about =
    0.043 + 2.9 * (0.012 ** 2 + 0.165 ** 2) + 0.0065 + 1.1 * ((l.x + f.x) ** 2 + (l.z + f.z) ** 2);
  near(mass, (about + 0.114) / (at.sole[0].x - at.knee.x) ** 2, 1e-6);
});

test('a heavier rotor never makes the heel lighter', () => {
  const of = (knee: number, ankle: number): number => touchdownMass(segments, pose, { knee, ankle }).mass;
  expect(of(0.1, 0)).toBeGreaterThan(of(0, 0));
  expect(of(0, 0.1)).toBeGreaterThan(of(0, 0));
  expect(of(0.1, 0.1)).toBeGreaterThan(of(0.1, 0));
});
