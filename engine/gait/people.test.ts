import { referenceStrides } from '@striderule/reference';
import { expect, test } from 'vitest';
import { gaitDemand } from './demand.ts';
import type { StrideDemand } from './demand-result.ts';
import { personDemand } from './people.ts';
import type { LegSegments, Wearer } from './stride.ts';
import type { StrideTask } from './task.ts';

const strides = referenceStrides();
const wearer: Wearer = { code: 'W', mass: 82, height: 1.78, side: 'left' };
const segments: LegSegments = {
  thighLength: 0.42,
  thighPart: { length: 0, mass: 1.3, centre: { x: 0, z: -0.36 }, inertia: 0.0095 },
  shank: { length: 0.43, mass: 2.9, centre: { x: 0.012, z: -0.165 }, inertia: 0.043 },
  foot: { length: 0, mass: 1.1, centre: { x: 0.045, z: -0.045 }, inertia: 0.0065 },
  sole: [],
};
const task = (coverage: number): StrideTask =>
  ({
    kind: 'stride',
    id: 't',
    title: 't',
    stride: 'walk-natural',
    coverage,
    ankleSizing: 'curve',
    duty: {},
  }) as unknown as StrideTask;
const demand = (coverage: number) => gaitDemand(task(coverage), strides, wearer, segments) as StrideDemand;

test('a person at the coverage is the demand itself; the mean person is the demand without coverage', () => {
  for (const [score, other] of [
    [1.5, demand(1.5)],
    [0, demand(0)],
  ] as const) {
    const person = personDemand(demand(1.5), { knee: score, ankle: score }) as StrideDemand;
    for (const joint of ['knee', 'ankle'] as const) {
      const [got, want] = [person.joints[joint]!, other.joints[joint]!];
      expect(got.momentScatter).toBeGreaterThan(0);
      for (const key of ['moment', 'humanMoment', 'power'] as const)
        for (let i = 0; i < got[key].length; i += 7) expect(got[key][i]).toBeCloseTo(want[key][i], 10);
      for (const key of ['moment', 'momentPercent', 'speed', 'generation', 'absorption'] as const)
        expect(got.peak[key]).toBeCloseTo(want.peak[key], 10);
      expect(got.work.negative).toBeCloseTo(want.work.negative, 10);
      expect(got.deviceMoment).toBe(person.joints[joint]!.deviceMoment);
    }
  }
});

test('a score at one joint leaves the other as it was; standing and peaks are nobody’s in particular', () => {
  const before = demand(1);
  const person = personDemand(before, { knee: -2 }) as StrideDemand;
  expect(person.joints.ankle).toBe(before.joints.ankle);
  expect(person.joints.knee!.peak.moment).not.toBeCloseTo(before.joints.knee!.peak.moment, 3);
  const peaks = { kind: 'peaks' } as never;
  expect(personDemand(peaks, { knee: 3 })).toBe(peaks);
});
