import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { phaseTick, swingState } from '../control/swing-tick.ts';
import { type StrideRange, strideRanges } from '../walk/stride-ranges.ts';
import type { WalkRecord } from '../walk/walk-curves.ts';
import { LOG, LOG_WIDTH, type WalkLog } from '../walk/walk-log.ts';
import { type WalkPart, walkParts } from '../walk/walk-parts.ts';
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
const STEP = 2.5e-4;

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
    const log = walked({ ...LEVEL, strides: 6, terrain: { kind: 'slope', angle: -0.2, told: false } });
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

/** A scenario of the demo study, walked with the command's own step. */
function demo(id: string) {
  const of = input.scenarios!.find((scenario) => scenario.id === id)!;
  const walk = openScenario(input, of, 2.5e-4);
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < of.strides && walk.stride(); k++);
  const { log } = walk.record();
  expect(log.residual).toBeLessThan(0.002 * log.moved);
  const { strides, weight } = walk.report();
  return { of, log, strides, weight };
}
const level = demo('level-brisk');
/** Rows of the log at which this holds. */
const rowsWhere = (log: WalkLog, holds: (i: number) => boolean): number[] =>
  Array.from({ length: log.rows }, (_, i) => i).filter(holds);

describe('a slope', () => {
  test.each(['down-5', 'up-5'])(
    '%s, told: walked to the end, the guide within a tenth of the weight',
    (id) => {
      const { log, strides, weight } = demo(id);
      expect(log.fell).toBeUndefined();
      expect(strides).toHaveLength(7);
      for (const { guide, faults } of strides.slice(2)) {
        expect(guide).toBeLessThan(0.1 * weight);
        expect(faults).toBe(0);
      }
    },
  );

  test('told, the maps see on the slope what they see on the level: the same phases of a thigh that is turned with the leg', () => {
    const told = 0.09;
    const [plain, turned] = [undefined, told].map((slope) => {
      const plan = walkPlan(input, {
        speed: 1.1,
        control: 'study',
        ...(slope !== undefined && { told: slope }),
      });
      if ('openBecause' in plan) throw new Error(plan.openBecause);
      return plan.machine!.maps;
    });
    plain!.forEach(({ map, sign }, k) => {
      const other = turned![k]!.map;
      const [a, b] = [swingState(), swingState()];
      a[8] = -0.2 * sign;
      b[8] = (-0.2 + told) * sign;
      for (let i = 0; i < 900; i++) {
        const thigh = -0.2 + 0.6 * Math.sin(i / 150) ** 2;
        phaseTick(map, a, sign * thigh, sign * 0.5, 1e-3);
        phaseTick(other, b, sign * (thigh + told), sign * 0.5, 1e-3);
        // the maps are kept in float32
        expect(Math.abs(a[0]! - b[0]!)).toBeLessThan(1e-5);
      }
    });
  });
});

describe('the raised leg swung at will', () => {
  const { of, log } = demo('swing-at-will');
  const { stop } = of;
  const stands = (0.2 + 2 + stop!.place) * log.strideTime + stop!.over / 2;
  const row = (t: number): number => Math.round(t / log.period) - 1;
  const cycle = 2 * stop!.back!.over;
  const from = stands + stop!.stands;

  test('goes back as far as it is told to, three times, and then walks on', () => {
    expect(log.fell).toBeUndefined();
    for (let k = 0; k < 3; k++) {
      expect(value(log, row(from + k * cycle), LOG.place)).toBeCloseTo(stop!.place, 2);
      expect(value(log, row(from + (k + 0.5) * cycle), LOG.place)).toBeCloseTo(
        stop!.place - stop!.back!.by,
        2,
      );
    }
    expect(value(log, log.rows - 1, LOG.fault)).toBe(0);
  });

  test('knee and phase follow the thigh, forth and back alike: each time again where they were', () => {
    for (const share of [0, 0.25, 0.5, 0.75]) {
      const [second, third] = [1, 2].map((k) => row(from + (k + share) * cycle));
      expect(Math.abs(value(log, second!, LOG.phase) - value(log, third!, LOG.phase))).toBeLessThan(1e-3);
      expect(Math.abs(value(log, second!, LOG.knee) - value(log, third!, LOG.knee))).toBeLessThan(2e-3);
    }
    // the thigh further back, the swing is less far on and the knee bent more
    const [forth, back] = [row(from + cycle), row(from + 1.5 * cycle)];
    expect(value(log, back, LOG.thigh)).toBeLessThan(value(log, forth, LOG.thigh) - 0.1);
    expect(value(log, back, LOG.phase)).toBeLessThan(value(log, forth, LOG.phase) - 0.02);
    expect(value(log, back, LOG.knee)).toBeGreaterThan(value(log, forth, LOG.knee) + 0.05);
  });

  test('held, it stays: the phase by no more than 1e-3', () => {
    const held = demo('hold-in-swing').log;
    const [a, b] = [stands + 1, stands + 3].map(row);
    expect(held.fell).toBeUndefined();
    expect(Math.abs(value(held, a!, LOG.phase) - value(held, b!, LOG.phase))).toBeLessThan(1e-3);
  });
});

describe('a step back', () => {
  test('is no trap: no safe state, no fault, the place goes back by half a stride, and the walk goes on', () => {
    const { log, strides, of } = demo('step-back');
    expect(log.fell).toBeUndefined();
    expect(rowsWhere(log, (i) => value(log, i, LOG.mode) > 1 || value(log, i, LOG.fault) !== 0)).toEqual([]);
    const places = rowsWhere(log, (i) => i > 0 && value(log, i, LOG.place) === value(log, i - 1, LOG.place));
    expect(value(log, places[0]!, LOG.place)).toBeCloseTo(of.stop!.place, 2);
    // back over its contact to where the leg is behind: 0.08 − 0.5 of a stride
    const least = rowsWhere(log, (i) => Math.abs(value(log, i, LOG.place) - 0.58) < 2e-3);
    expect(least.length).toBeGreaterThan(50);
    expect(Math.abs(strides.at(-1)!.duration - log.strideTime)).toBeLessThan(0.02 * log.strideTime);
  });
});

describe('stance left early', () => {
  const { log, strides } = demo('early-off');

  test('is told as early, at an earlier phase, and the hip pulls more than in the plain walk', () => {
    expect(log.fell).toBeUndefined();
    const mean = (of: typeof strides, what: (stride: (typeof strides)[number]) => number): number =>
      of.slice(2).reduce((sum, stride) => sum + what(stride), 0) / of.slice(2).length;
    expect(strides.slice(2).every(({ pushOff }) => pushOff.early)).toBe(true);
    expect(mean(strides, ({ pushOff }) => pushOff.phase)).toBeLessThan(
      mean(level.strides, ({ pushOff }) => pushOff.phase) - 0.02,
    );
    expect(mean(strides, ({ hip }) => hip.pullOff)).toBeGreaterThan(
      mean(level.strides, ({ hip }) => hip.pullOff),
    );
  });

  test('needs the study’s controller', () => {
    const walk = openScenario(input, { ...LEVEL, control: 'clock', leaves: 0.3 }, STEP);
    expect('openBecause' in walk && walk.openBecause).toContain('only the study’s controller');
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
    { kind: 'slope', angle: Math.PI / 36, told: true },
    { kind: 'slope', angle: -Math.PI / 90, told: true },
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

  const lasts = ({ log }: WalkRecord, { from, to }: WalkPart): number => (to - from) * log.period;

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
    // stance and swing do not tell it, as they do the others
    const parts = walkParts(record.log, range)!;
    // the foot bears a moment before the controller sees its contact
    expect(parts.map(({ name }) => name)).toEqual([
      'foot loaded',
      'foot loaded, standing',
      'foot loaded',
      'foot free',
      'foot loaded',
    ]);
    expect(lasts(record, parts.at(-1)!)).toBeLessThan(0.02);
    expect([parts[0]!.from, parts.at(-1)!.to]).toEqual([range.from, range.to]);
    // for as long as it was told to, and as little more as it hardly moves before and after
    expect(lasts(record, parts[1]!) - stop.stands).toBeGreaterThanOrEqual(0);
    expect(lasts(record, parts[1]!) - stop.stands).toBeLessThan(0.03);
    const others = strideRanges(record.log).filter((each) => each.from !== range.from);
    for (const each of others) expect(walkParts(record.log, each)).toBeUndefined();
  });

  test('a leg that is held in the air and swung back is told so, each for as long as it was told to', () => {
    const back = { by: 0.08, over: 0.8, times: 1 };
    const stop = { stride: 2, place: 0.78, over: 0.6, stands: 0.5, back };
    const record = recorded({ ...LEVEL, strides: 6, stop });
    const range = strideRanges(record.log).find(({ from, to }) => (to - from) * record.log.period > 2)!;
    const parts = walkParts(record.log, range)!;
    // forth again it goes on, and the turn at the end of it is no standing
    expect(parts.map(({ name }) => name)).toEqual([
      'foot loaded',
      'foot free',
      'foot free, standing',
      'foot free, going back',
      'foot free',
      'foot loaded',
    ]);
    expect(Math.abs(lasts(record, parts[2]!) - stop.stands)).toBeLessThan(0.03);
    expect(Math.abs(lasts(record, parts[3]!) - back.over)).toBeLessThan(0.03);
    expect(parts.map(({ held }) => held)).toEqual(['stance', 'swing', 'swing', 'swing', 'swing', 'stance']);
  });
});

describe('faults that the study keeps as scenarios', () => {
  test.each(['pack-empty', 'knee-slips', 'thigh-gap'])(
    '%s: walked through, and no safe state is called for',
    (id) => {
      const { log } = demo(id);
      expect(log.fell).toBeUndefined();
      expect(rowsWhere(log, (i) => value(log, i, LOG.mode) > 1)).toEqual([]);
    },
  );

  test('an empty pack has less to give on the same walk: the lowest voltage is lower', () => {
    const { log } = demo('pack-empty');
    const from = log.rows - Math.round(log.strideTime / log.period);
    const volts = (of: WalkLog): number =>
      Math.min(...rowsWhere(of, (i) => i > from && i < log.rows).map((i) => value(of, i, LOG.busVoltage)));
    expect(volts(log)).toBeLessThan(volts(level.log));
  });

  test('a pack that opens while the knee brakes: what the knee gives back lifts the bus above the pack’s own voltage', () => {
    const { log, of } = demo('pack-opens');
    const plan = walkPlan(input, { speed: 1.1, control: 'study', thigh: 'led' });
    if ('openBecause' in plan) throw new Error(plan.openBecause);
    const at = (0.2 + of.fault!.stride - 1 + of.fault!.place) * log.strideTime;
    const own = plan.setup.supply.openCircuitVoltage;
    const after = rowsWhere(log, (i) => value(log, i, LOG.time) > at && value(log, i, LOG.time) < at + 0.2);
    expect(Math.max(...after.map((i) => value(log, i, LOG.busVoltage)))).toBeGreaterThan(own);
  });

  test('windings at their limit: from then on no joint is asked for more torque than what is left to the limit allows', () => {
    const { log, of } = demo('windings-hot');
    const { knee, ankle } = input.controller!.controller.limits;
    const at = (0.2 + of.fault!.stride - 1 + of.fault!.place) * log.strideTime;
    // the torque falls at no more than its slew: 150 N·m at 10⁴ N·m/s
    const after = rowsWhere(log, (i) => value(log, i, LOG.time) > at + 0.02);
    expect(after.length).toBeGreaterThan(500);
    for (const i of after)
      for (const [{ torque, hot, warm }, asked, winding] of [
        [knee, LOG.kneeAsked, LOG.kneeWinding],
        [ankle, LOG.ankleAsked, LOG.ankleWinding],
      ] as const) {
        const left = Math.min(1, Math.max(0, (hot - value(log, i, winding)) / (hot - warm)));
        expect(Math.abs(value(log, i, asked))).toBeLessThan(torque * left + 1);
      }
  });
});
