import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { curveAt } from '../gait/curve.ts';
import { legPose } from '../gait/pose.ts';
import { strideRanges } from '../walk/stride-ranges.ts';
import { LOG, LOG_WIDTH } from '../walk/walk-log.ts';
import { walkParts } from '../walk/walk-parts.ts';
import { walkGround, walkPose } from '../walk/walk-pose.ts';
import type { Scenario } from '../walk/walk-scenario.ts';
import { openScenario } from './scenario.ts';
import { residualLimb } from './walk-body.ts';

const demo = new URL('../../examples/tern', import.meta.url).pathname;
const { input } = await openStudy(demo);
const { input: passive } = await openStudy(demo, { leg: 'passive' });
const of = (id: string): Scenario => input.scenarios!.find((one) => one.id === id)!;
const STEP = 2.5e-4;
/** N·m/rad of the demo leg's gears. */
const GEARS = 900;

function climbed(scenario: Scenario) {
  const walk = openScenario(input, scenario, STEP);
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  walk.stride();
  const record = walk.record();
  const { table } = record.log;
  const y = (row: number, place: number): number => table[row * LOG_WIDTH + place]!;
  return { report: walk.report(), record, y, rows: record.log.rows };
}
const up = climbed(of('stair-up'));
const down = climbed(of('stair-down'));
const study = { up: climbed(of('stair-up-study')), down: climbed(of('stair-down-study')) };
const all = { up, down, 'up, study': study.up, 'down, study': study.down };
const { mass } = input.wearer;

describe.each(Object.entries(all))('one stair %s', (_, { report, record, y, rows }) => {
  test('is walked to its end, its energy balanced', () => {
    expect(report.fell).toBeUndefined();
    expect(report.audit.share).toBeLessThan(report.audit.limit);
    expect(report.strides).toHaveLength(1);
  });

  // places of the segments by their own geometry, rates by differences of what was logged: nothing of the walk's own mechanics
  test('all works together are m·g·h and what still moves', () => {
    const { segments } = input.leg;
    const limb = residualLimb(mass, input.wearer.residualLimbLength!, segments.thighLength);
    const turned = (phi: number, { x, z }: { x: number; z: number }) => [
      x * Math.cos(phi) - z * Math.sin(phi),
      x * Math.sin(phi) + z * Math.cos(phi),
    ];
    const bodies = (row: number) => {
      const [t, k, a] = [y(row, LOG.thigh), y(row, LOG.knee), y(row, LOG.ankle)];
      const hip = [record.way![row]!, y(row, LOG.height)];
      const pose = legPose(segments, t, k, a);
      const on = (from: { x: number; z: number }, phi: number, centre: { x: number; z: number }) => {
        const [x, z] = turned(phi, centre);
        return [hip[0]! + from.x + x!, hip[1]! + from.z + z!];
      };
      const origin = { x: 0, z: 0 };
      return [
        { m: mass - limb.mass, inertia: 0, phi: 0, at: hip },
        { m: limb.mass, inertia: limb.inertia, phi: t, at: on(origin, t, limb.centre) },
        {
          m: segments.thighPart.mass,
          inertia: segments.thighPart.inertia,
          phi: t,
          at: on(origin, t, segments.thighPart.centre),
        },
        {
          m: segments.shank.mass,
          inertia: segments.shank.inertia,
          phi: t - k,
          at: on(pose.knee, t - k, segments.shank.centre),
        },
        {
          m: segments.foot.mass,
          inertia: segments.foot.inertia,
          phi: t - k + a,
          at: on(pose.ankle, t - k + a, segments.foot.centre),
        },
      ];
    };
    const energy = (row: number): number => {
      const [a, b, c] = [bodies(row - 1), bodies(row), bodies(row + 1)];
      const h = 2 * record.log.period;
      return b.reduce((sum, body, i) => {
        const [x, z] = [0, 1].map((k) => (c[i]!.at[k]! - a[i]!.at[k]!) / h);
        const turn = (c[i]!.phi - a[i]!.phi) / h;
        return (
          sum + body.m * (9.80665 * body.at[1]! + (x! * x! + z! * z!) / 2) + (body.inertia * turn * turn) / 2
        );
      }, 0);
    };
    // gears that are wound up, by what they carry: G = τ/K_g
    const wound = (row: number): number =>
      [LOG.kneeTorque, LOG.ankleTorque].reduce((sum, torque) => sum + y(row, torque) ** 2 / (2 * GEARS), 0);
    // between two quiet instants, where rotors hardly turn: in single support, and at rest at the end
    const [from, to] = [Math.round(0.55 * rows), rows - 10];
    let done = 0;
    for (let k = 0; k < 9; k++) done += y(to, LOG.works + k) - y(from, LOG.works + k);
    const gained = energy(to) + wound(to) - energy(from) - wound(from);
    expect(Math.abs(done - gained)).toBeLessThan(0.02 * report.audit.moved);
    expect(Math.abs(gained)).toBeGreaterThan(40);
  });

  test('falls into its states, or by the load: each row lies in the one that holds there', () => {
    const [range] = strideRanges(record.log);
    const parts = walkParts(record.log, range!, report.passed)!;
    expect([parts[0]!.from, parts.at(-1)!.to]).toEqual([0, rows]);
    for (const [k, { name, from, to }] of parts.entries()) {
      expect(from).toBe(parts[k - 1]?.to ?? 0);
      for (let row = from; row < to; row++)
        if (report.passed === undefined) expect(name).toBe(y(row, LOG.up) < 20 ? 'foot free' : 'foot loaded');
        else expect(report.passed.findLast(({ time }) => time < (row + 0.5) * 1e-3)!.state).toBe(name);
    }
  });

  test('is drawn on its treads: where the walk had the lowest point of the sole over them', () => {
    const [range] = strideRanges(record.log);
    const ground = walkGround(record, range!);
    const { segments } = input.leg;
    for (let row = 5; row < rows; row += 97) {
      const { hip, leg } = walkPose(record, segments, range!, row);
      const over = (by: number): number =>
        Math.min(...leg.sole.map(({ x, z }) => hip.z + z - ground(hip.x + x + by)));
      const lowest = over(0);
      // at an edge a step of the integration is worth centimetres of height
      if (Math.max(Math.abs(over(2e-3) - lowest), Math.abs(over(-2e-3) - lowest)) > 1e-3) continue;
      expect(Math.abs(lowest - y(row, LOG.lowest))).toBeLessThan(2e-3);
    }
  });
});

// Bovi, Rabuffetti, Mazzoleni & Ferrarin, Gait & Posture 33 (2011) 6–13, addendum: group means of largest moments and their SD, N·m/kg
const PUBLISHED = {
  up: { knee: [1.13, 0.225], ankle: [1.1, 0.23] },
  down: { knee: [1.17, 0.25], ankle: [1.03, 0.135] },
} as const;

describe('led by a clock', () => {
  test.each(['up', 'down'] as const)('%s: largest moments within a deviation of the published', (way) => {
    const [whole] = all[way].report.strides;
    for (const joint of ['knee', 'ankle'] as const) {
      const [mean, deviation] = PUBLISHED[way][joint];
      expect(Math.abs(-whole![joint].lowestTorque / mass - mean)).toBeLessThan(deviation);
    }
  });

  test('up, the knee gives; down, knee and ankle take', () => {
    const [u, d] = [up.report.strides[0]!, down.report.strides[0]!];
    expect(u.knee.positiveWork + u.knee.negativeWork).toBeGreaterThan(0.3 * mass);
    expect(d.knee.positiveWork + d.knee.negativeWork).toBeLessThan(-0.3 * mass);
    expect(d.ankle.positiveWork + d.ankle.negativeWork).toBeLessThan(-0.3 * mass);
  });

  test('up, the peak of the vertical force is the published 1.05 body weights within 0.15', () => {
    expect(Math.abs(up.report.strides[0]!.up / up.report.weight - 1.05)).toBeLessThan(0.15);
  });

  test('the hip ends where the last pose stands on the next tread', () => {
    for (const [{ y, rows }, riser] of [
      [up, 0.18],
      [down, -0.18],
    ] as const) {
      const { segments } = input.leg;
      const pose = legPose(segments, y(rows - 1, LOG.thigh), y(rows - 1, LOG.knee), y(rows - 1, LOG.ankle));
      expect(Math.abs(y(rows - 1, LOG.height) - riser + pose.lowest)).toBeLessThan(0.03);
    }
  });
});

describe('by the study’s controller', () => {
  test('up: it lifts as hard as was published, and swings the foot over the next edge: nothing touches it on the way', () => {
    const { y, rows, report } = study.up;
    const { passed, strides, faultShare } = report;
    expect(passed!.map(({ state }) => state)).toEqual(['free', 'extending', 'lifting']);
    expect(faultShare).toBe(0);
    const [mean, deviation] = PUBLISHED.up.knee;
    expect(Math.abs(-strides[0]!.knee.lowestTorque / mass - mean)).toBeLessThan(deviation);
    // 20 ms after it is known to be unloaded and to the end: no point of the sole is within the treads, and none is pushed at
    const off = Math.round(passed!.at(-1)!.time / 1e-3) + 20;
    expect(rows - off).toBeGreaterThan(500);
    for (let row = off; row < rows; row++) {
      expect(y(row, LOG.up)).toBe(0);
      expect(y(row, LOG.forward)).toBe(0);
      expect(y(row, LOG.lowest)).toBeGreaterThan(0);
    }
  });
  test('down: it yields as fast and bears as much as was published, and touches nothing once it is off the tread; states in their order; no fault', () => {
    const { y, report } = study.down;
    const { passed, faultShare, strides, weight } = report;
    expect(passed!.map(({ state }) => state)).toEqual(['free', 'lowering', 'free']);
    for (const joint of ['knee', 'ankle'] as const) {
      const [mean, deviation] = PUBLISHED.down[joint];
      expect(Math.abs(-strides[0]![joint].lowestTorque / mass - mean)).toBeLessThan(deviation);
    }
    // no harder than the published 1.24 body weights and the line of every walk
    expect(strides[0]!.up / weight).toBeLessThan(1.24 + 0.15);
    // the knee over the loaded stance, beside the published angle
    const { angle } = study.down.record.stride.joints.knee!;
    for (let row = 50; y(row, LOG.place) < 0.62; row += 10)
      expect(Math.abs(y(row, LOG.knee) - curveAt(angle, 100 * y(row, LOG.place)).value)).toBeLessThan(0.17);
    const off = Math.round(passed!.at(-1)!.time / 1e-3);
    for (let row = off; row < off + 200; row++) expect(y(row, LOG.up)).toBe(0);
    passed!.slice(1).forEach(({ time }, k) => {
      expect(time).toBeGreaterThan(passed![k]!.time);
    });
    expect(faultShare).toBe(0);
  });
});

test('a stair that cannot be told says why', () => {
  const stairs = of('stair-up').stairs!;
  const open = (change: Partial<Scenario>, by = input): string => {
    const walk = openScenario(by, { ...of('stair-up'), ...change }, STEP);
    return 'openBecause' in walk ? walk.openBecause : '';
  };
  expect(open({ stairs: { ...stairs, task: 'walk-natural' } })).toContain('goes over no stair');
  expect(open({ stairs: { ...stairs, task: 'stand' } })).toContain('no task `stand` of a stride');
  expect(open({ begins: 'free' })).toContain('only the study’s controller begins in a state');
  expect(open({ control: 'study', begins: 'flying' })).toContain(
    'no state `flying`: it has standing, stance',
  );
  expect(open({}, passive)).toContain('no drives');
});
