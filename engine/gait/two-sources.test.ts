import { referenceStrides } from '@striderule/reference';
import { expect, test } from 'vitest';
import { curveMean, curveRms } from '../numeric/trapezoid.ts';
import { gaitDemand } from './demand.ts';
import type { LegSegments, Wearer } from './stride.ts';
import type { StrideTask } from './task.ts';

// Two laboratories, two groups of people, one walk of 1.20 m/s: the interpolated and sized ankle of Bovi and others (2011,
// 20 adults, overground) beside the openly licensed one of Camargo and others (2021, 22 adults, treadmill). Neither is the
// other's truth; how far they are apart is how far a shipped ankle may be from the next group of people.
const strides = referenceStrides();
const wearer: Wearer = { code: 'T', mass: 1, height: 1.71, side: 'left' };
const none = { length: 0.4, mass: 0, inertia: 0, centre: { x: 0, z: 0 } };
const leg: LegSegments = { thighLength: 0.4, thighPart: none, shank: none, foot: none, sole: [] };
function walk(more: Partial<StrideTask> & { stride: string }) {
  const task: StrideTask = {
    kind: 'stride',
    id: 'walk',
    title: 'Walk',
    coverage: 0,
    ankleSizing: 'able-bodied',
    duty: {},
    ...more,
  };
  const d = gaitDemand(task, strides, wearer, leg);
  if (d.kind !== 'stride' || d.joints.ankle === undefined) throw new Error('an ankle ships');
  return { ...d.joints.ankle, strideTime: d.strideTime };
}
const ours = walk({ stride: 'walk-natural', speed: 1.2, surface: 'treadmill' });
const theirs = walk({ stride: 'ankle-treadmill-1p20' });

function apart(a: Float64Array, b: Float64Array): number {
  return curveRms(a.map((x, i) => x - b[i])) / (Math.max(...b) - Math.min(...b));
}

test('the regression’s stride time is the measured 1.037 s within 1 %', () => {
  expect(Math.abs(ours.strideTime / theirs.strideTime - 1)).toBeLessThan(0.01);
});

test('moment, velocity and, but for its zero, angle agree within 8 % of range', () => {
  expect(apart(ours.humanMoment, theirs.humanMoment)).toBeLessThan(0.08);
  expect(apart(ours.velocity, theirs.velocity)).toBeLessThan(0.08);
  const offset = curveMean(theirs.angle) - curveMean(ours.angle);
  expect(
    apart(
      ours.angle.map((x) => x + offset),
      theirs.angle,
    ),
  ).toBeLessThan(0.08);
  // the source's own note puts its zero 6–12° above the standing ankle
  expect((offset * 180) / Math.PI).toBeGreaterThan(6);
  expect((offset * 180) / Math.PI).toBeLessThan(12);
});

test('sized on the published peak, push-off comes out above the printed 3.53 W/kg, by at most a quarter', () => {
  const push = Math.max(...ours.humanMoment.map((m, i) => m * ours.velocity[i]));
  expect(push / 3.53).toBeGreaterThan(1);
  expect(push / 3.53).toBeLessThan(1.25);
});
