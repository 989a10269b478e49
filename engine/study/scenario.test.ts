import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { type StrideRange, strideRanges } from '../walk/stride-ranges.ts';
import type { WalkRecord } from '../walk/walk-curves.ts';
import { LOG, LOG_WIDTH, type WalkLog } from '../walk/walk-log.ts';
import { walkGround, walkPose } from '../walk/walk-pose.ts';
import { walkRun } from '../walk/walk-run.ts';
import type { Scenario } from '../walk/walk-scenario.ts';
import { openScenario } from './scenario.ts';
import { walkPlan } from './walk-plan.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const LEVEL: Scenario = {
  id: 'level',
  title: '',
  speed: 1.1,
  strides: 3,
  control: 'study',
  thigh: 'led',
  ground: 'overground',
};
const STEP = 5e-4;

function recorded(scenario: Scenario): WalkRecord {
  const walk = openScenario(input, scenario, STEP);
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < scenario.strides && walk.stride(); k++);
  return walk.record();
}
const walked = (scenario: Scenario): WalkLog => recorded(scenario).log;
const value = (log: WalkLog, row: number, place: number): number => log.table[row * LOG_WIDTH + place]!;

describe('a scenario', () => {
  test('without pace, terrain and fault is the plain walk, to the last bit', () => {
    const plan = walkPlan(input, { speed: 1.1, control: 'study', thigh: 'led', ground: 'overground' });
    if ('openBecause' in plan) throw new Error(plan.openBecause);
    expect([...walked(LEVEL).table]).toEqual([...walkRun(plan.setup, STEP, 3).table]);
  });

  test('stops where it is told to, stands as long as it is told to, and ends that much later', () => {
    const stop = { stride: 2, place: 0.08, over: 0.5, stands: 2 };
    const log = walked({ ...LEVEL, strides: 5, stop });
    let [first, last] = [-1, -1];
    for (let i = 1; i < log.rows; i++)
      if (value(log, i, LOG.place) === value(log, i - 1, LOG.place)) {
        if (first < 0) first = i;
        last = i;
      }
    expect(Math.abs(value(log, first, LOG.place) - 0.08)).toBeLessThan(2e-3);
    expect((last - first) * log.period).toBeCloseTo(2, 1);
    // the second stride from the first contact on, at 8 %: 0.2 + 1.08 strides of its own pace and half of the slowing down
    expect(value(log, first, LOG.time)).toBeCloseTo(1.28 * log.strideTime + 0.25, 1);
  });

  test('has its fault where it is told to', () => {
    const log = walked({ ...LEVEL, fault: { name: 'power-lost', stride: 2, place: 0.3 } });
    let at = 0;
    while (value(log, at, LOG.mode) !== 3) at++;
    expect(value(log, at, LOG.place)).toBeCloseTo(0.3, 2);
    expect(value(log, at, LOG.time)).toBeCloseTo(1.5 * log.strideTime, 2);
  });

  test('that falls says when and why, and keeps its log until then', () => {
    const log = walked({ ...LEVEL, strides: 6, terrain: { kind: 'slope', angle: -0.2 } });
    expect(log.fell?.why).toMatch(/hip sank|knee gave way/);
    expect(value(log, log.rows - 1, LOG.time)).toBeCloseTo(log.fell!.time, 2);
  });

  test('that cannot be told says why', () => {
    const open = (scenario: Scenario): string => {
      const walk = openScenario(input, scenario, STEP);
      return 'openBecause' in walk ? walk.openBecause : '';
    };
    expect(open({ ...LEVEL, stop: { stride: 1, place: 0, over: 2, stands: 1 } })).toContain(
      'before the walk',
    );
    expect(open({ ...LEVEL, fault: { name: 'nothing', stride: 1, place: 0 } })).toContain(
      'no fault `nothing`',
    );
    expect(open({ ...LEVEL, speed: 0.3 })).toContain('outside');
  });
});

describe('a scenario drawn on its ground', () => {
  const { segments } = input.leg;
  const lowest = (record: WalkRecord, row: number, range: StrideRange) => {
    const { hip, leg } = walkPose(record, segments, range, row);
    const over = walkGround(record, range);
    return leg.sole
      .map((p, k) => ({ k, x: hip.x + p.x, over: hip.z + p.z - over(hip.x + p.x) }))
      .reduce((low, each) => (each.over < low.over ? each : low));
  };

  test.each([
    { kind: 'slope', angle: Math.PI / 36 },
    { kind: 'slope', angle: -Math.PI / 90 },
    { kind: 'step', height: 0.015, at: 2, over: 0.06 },
    { kind: 'uneven', height: 0.005, seed: 1 },
  ] as const)('has its lowest sole point where the walk had it: $kind', (terrain) => {
    const record = recorded({ ...LEVEL, terrain });
    const ranges = strideRanges(record.log);
    expect(ranges.length).toBeGreaterThan(1);
    for (const range of ranges)
      for (let row = range.from; row < range.to; row += 40)
        // told for the beginning of the last step, 0.5 ms before the pose; a sole point goes at most some 4 m/s
        expect(Math.abs(lowest(record, row, range).over - value(record.log, row, LOG.lowest))).toBeLessThan(
          4 * STEP,
        );
  });

  test('stands on one spot while it stops, and goes one stride length in that stride', () => {
    const stop = { stride: 2, place: 0.08, over: 0.5, stands: 2 };
    const record = recorded({ ...LEVEL, strides: 5, stop });
    const range = strideRanges(record.log).find(({ from, to }) => (to - from) * record.log.period > 3)!;
    const still = range.from + Math.round(1 / record.log.period);
    const [a, b] = [lowest(record, still, range), lowest(record, still + 1000, range)];
    expect(a.k).toBe(b.k);
    expect(Math.abs(a.x - b.x)).toBeLessThan(2e-3);
    const { hip } = walkPose(record, segments, range, range.to);
    expect(hip.x / record.hip.strideLength).toBeCloseTo(1, 1);
  });
});
