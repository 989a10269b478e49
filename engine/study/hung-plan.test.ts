import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { curveAt } from '../gait/curve.ts';
import { strideRanges } from '../walk/stride-ranges.ts';
import { LOG, LOG_WIDTH } from '../walk/walk-log.ts';
import { walkParts } from '../walk/walk-parts.ts';
import type { Scenario } from '../walk/walk-scenario.ts';
import { openScenario } from './scenario.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const { input: passive } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname, {
  leg: 'passive',
});
const HUNG = input.scenarios!.find(({ id }) => id === 'run-hung')!;
const STEP = 2.5e-4;

function hung(of: Partial<Scenario>) {
  const walk = openScenario(input, { ...HUNG, strides: 3, ...of }, STEP);
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < 3 && walk.stride(); k++);
  return { report: walk.report(), record: walk.record() };
}
const run = hung({});
const { table, rows, period } = run.record.log;
const y = (row: number, place: number): number => table[row * LOG_WIDTH + place]!;

describe('a leg that hangs and runs', () => {
  test('touches no ground, falls nowhere, and its hip stands within a millimetre', () => {
    expect(run.report.fell).toBeUndefined();
    for (let i = 0; i < rows; i++) {
      expect(y(i, LOG.up)).toBe(0);
      expect(y(i, LOG.lowest)).toBeGreaterThan(0.05);
      expect(Math.abs(y(i, LOG.height) - y(i, LOG.ownHeight))).toBeLessThan(1e-3);
    }
  });

  test('has neither stance nor swing, whatever its clock says', () => {
    const ranges = strideRanges(run.record.log);
    expect(ranges.length).toBeGreaterThan(1);
    for (const range of ranges) expect(walkParts(run.record.log, range)).toEqual([]);
  });

  test('balances its energy, and over a stride all works together leave it as it was', () => {
    expect(run.report.audit.share).toBeLessThan(run.report.audit.limit);
    const from = Math.round((0.2 + 1) * (run.record.log.strideTime / period));
    const to = from + Math.round(run.record.log.strideTime / period);
    let [sum, size] = [0, 0];
    for (let k = 0; k < 9; k++) {
      const done = y(to, LOG.works + k) - y(from, LOG.works + k);
      sum += done;
      size += Math.abs(done);
    }
    expect(size).toBeGreaterThan(10);
    expect(Math.abs(sum)).toBeLessThan(0.05 * size);
  });

  // from the segments' places alone: what turns shank and foot about the knee, by differences of the logged angles
  test('the torque at its knee is what Newton and Euler ask for this motion in the air', () => {
    const { segments } = input.leg;
    const g = 9.80665;
    const where = (i: number) => {
      const thigh = y(i, LOG.thigh);
      const shank = thigh - y(i, LOG.knee);
      const foot = shank + y(i, LOG.ankle);
      const z = y(i, LOG.height);
      const knee = [segments.thighLength * Math.sin(thigh), z - segments.thighLength * Math.cos(thigh)];
      const ankle = [
        knee[0]! + segments.shank.length * Math.sin(shank),
        knee[1]! - segments.shank.length * Math.cos(shank),
      ];
      const at = (joint: number[], phi: number, { x, z: down }: { x: number; z: number }) => [
        joint[0]! + x * Math.cos(phi) - down * Math.sin(phi),
        joint[1]! + x * Math.sin(phi) + down * Math.cos(phi),
      ];
      return {
        knee,
        bodies: [
          { of: segments.shank, phi: shank, at: at(knee, shank, segments.shank.centre) },
          { of: segments.foot, phi: foot, at: at(ankle, foot, segments.foot.centre) },
        ],
      };
    };
    const D = 4; // rows: differences over 4 ms each way
    const h = D * period;
    let [square, size] = [0, 0];
    for (let i = Math.round(rows / 3); i < rows - D; i++) {
      const [before, now, after] = [where(i - D), where(i), where(i + D)];
      let torque = 0;
      now.bodies.forEach((body, k) => {
        const [a, c] = [before.bodies[k]!, after.bodies[k]!];
        const ax = (c.at[0]! - 2 * body.at[0]! + a.at[0]!) / h / h;
        const az = (c.at[1]! - 2 * body.at[1]! + a.at[1]!) / h / h + g;
        const turn = (c.phi - 2 * body.phi + a.phi) / h / h;
        const [rx, rz] = [body.at[0]! - now.knee[0]!, body.at[1]! - now.knee[1]!];
        torque += body.of.mass * (rx * az - rz * ax) + body.of.inertia * turn;
      });
      // flexion turns the shank backwards: the knee's torque counts the other way
      const off = y(i, LOG.kneeTorque) + torque;
      square += off * off;
      size += y(i, LOG.kneeTorque) ** 2;
    }
    expect(Math.sqrt(square / size)).toBeLessThan(0.1);
  });

  test('is led nearly as fast as the published curve goes, and as far', () => {
    const knee = input.strides['run-2p5']!.joints.knee!.angle;
    const { strideTime } = input.strides['run-2p5']!;
    const own = Array.from({ length: 1000 }, (_, i) => curveAt(knee, i / 10).value);
    const fastest = Math.max(
      ...own.slice(1).map((value, i) => Math.abs(value - own[i]!) / (strideTime / 1000)),
    );
    const stride = run.report.strides.at(-1)!;
    expect(Math.abs(stride.knee.fastest / fastest - 1)).toBeLessThan(0.15);
    expect(stride.duration).toBeCloseTo(strideTime, 2);
    expect(stride.knee.error).toBeLessThan(0.1);
    expect(stride.ankle.error).toBeLessThan(0.1);
  });

  test('tells nothing of ground, socket, hip, guide and push-off, and says why', () => {
    for (const { up, clearance, socketMoment, hip, guide, pushOff, works } of run.report.strides)
      for (const none of [up, clearance, socketMoment, hip.positiveWork, guide, pushOff.work, works.ground])
        expect(none).toBeNaN();
    expect(run.report.notes.join(' ')).toContain('nothing is told of ground force');
    expect(run.report.notes.join(' ')).toContain('does not close by 3.2°');
    expect(run.report.steady).toBeUndefined();
  });

  test('that cannot be led says why', () => {
    const open = (of: Partial<Scenario>, by = input): string => {
      const walk = openScenario(by, { ...HUNG, ...of }, STEP);
      return 'openBecause' in walk ? walk.openBecause : '';
    };
    expect(open({ hangs: 'ramp-up' })).toContain('no angle of hip or thigh, of knee');
    expect(open({ hangs: 'run' })).toContain('no task `run` of a stride');
    expect(open({}, passive)).toContain('no drives');
  });
});
