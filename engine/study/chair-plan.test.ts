import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { chairCourse, leastJerk } from '../walk/chair-course.ts';
import { strideRanges } from '../walk/stride-ranges.ts';
import { COURSE, COURSE_WIDTH } from '../walk/walk-course.ts';
import { walkCurves } from '../walk/walk-curves.ts';
import { LOG, LOG_WIDTH } from '../walk/walk-log.ts';
import { walkParts } from '../walk/walk-parts.ts';
import { walkPose } from '../walk/walk-pose.ts';
import type { Scenario } from '../walk/walk-scenario.ts';
import type { WalkStride } from '../walk/walk-strides.ts';
import { chairPlan } from './chair-plan.ts';
import { openScenario } from './scenario.ts';
import { walkPlan } from './walk-plan.ts';

const demo = new URL('../../examples/tern', import.meta.url).pathname;
const { input } = await openStudy(demo);
const found = input.scenarios!.find(({ id }) => id === 'chair')!;
const scenario = { ...found, chair: found.chair! };
const plan = chairPlan(input, scenario);
if ('openBecause' in plan) throw new Error(plan.openBecause);
const { times } = plan;
const G = 9.80665;

const walk = openScenario(input, scenario, 2.5e-4);
if ('openBecause' in walk) throw new Error(walk.openBecause);
walk.stride();
const report = walk.report();
const { log } = walk.record();
const y = (row: number, place: number): number => log.table[row * LOG_WIDTH + place]!;
const rowAt = (time: number): number => Math.round(time / log.period) - 1;

describe('standing, walking, sitting and rising', () => {
  test('is walked to its end, its energy balanced', () => {
    expect(report.fell).toBeUndefined();
    expect(report.audit.share).toBeLessThan(report.audit.limit);
    expect(report.faultShare).toBe(0);
  });

  test('the states come in their order, and none is a trap', () => {
    const wanted = [
      'standing',
      'stance',
      'swing',
      'stance',
      'standing',
      'lowering',
      'sitting',
      'rising',
      'standing',
    ];
    const passed = report.passed!.map(({ state }) => state);
    let k = 0;
    for (const state of passed) if (state === wanted[k]) k++;
    expect(k).toBe(wanted.length);
    expect(passed.at(-1)).toBe('standing');
    expect(passed.filter((state) => state.startsWith('safe') || state === 'free')).toEqual([]);
  });

  test('its parts are those states, one after another from beginning to end, each held as the controller says', () => {
    const [range] = strideRanges(log);
    const parts = walkParts(log, range!, report.passed)!;
    expect(parts.map(({ name }) => name)).toEqual(report.passed!.map(({ state }) => state));
    expect([parts[0]!.from, parts.at(-1)!.to]).toEqual([0, log.rows]);
    for (const [k, { from, to, held }] of parts.entries()) {
      expect(from).toBe(parts[k - 1]?.to ?? 0);
      // a change of the controller's own stance and swing is a change of state, and none lies within a part
      for (let row = from; row < to; row++) expect(['stance', 'swing', 'safe'][y(row, LOG.mode)]).toBe(held);
    }
    const seated = parts.find(({ name }) => name === 'sitting')!;
    expect(y(Math.round((seated.from + seated.to) / 2), LOG.height)).toBeLessThan(scenario.chair.hip + 0.05);
  });

  // At least 0.9 N·m/kg at the knee of one leg (Archives of Physical Medicine and Rehabilitation 74 (1993) 1095–9, abstract), and 0.51 to 1.97 over
  // all ways of rising (Yoshioka, Nagano, Himeno & Fukashiro, BioMedical Engineering OnLine 6 (2007) 26, abstract): with the thigh led or prescribed
  test.each(['led', 'prescribed'] as const)(
    'thigh %s: it rises with the published moment, and stands',
    (thigh) => {
      const own = thigh === 'led' ? walk : openScenario(input, { ...scenario, thigh }, 2.5e-4);
      if ('openBecause' in own) throw new Error(own.openBecause);
      if (thigh !== 'led') own.stride();
      const risen = own.record().log;
      const rows = Array.from({ length: risen.rows }, (_, row) => row).filter(
        (row) => row * risen.period > times.rises && row * risen.period < times.standsAgain,
      );
      const least = Math.min(...rows.map((row) => risen.table[row * LOG_WIDTH + LOG.kneeTorque]!));
      expect(-least / input.wearer.mass).toBeGreaterThan(0.9);
      expect(-least / input.wearer.mass).toBeLessThan(1.97);
      expect(
        own
          .report()
          .passed!.slice(-2)
          .map(({ state }) => state),
      ).toEqual(['rising', 'standing']);
    },
  );

  test('what belongs to one contact or one swing is not told of all of it', () => {
    const [{ impact, clearance, pushOff, hip }] = report.strides as [WalkStride];
    expect([impact, clearance, pushOff.work, hip.pullOff].every(Number.isNaN)).toBe(true);
    expect(hip.positiveWork).toBeGreaterThan(0);
  });

  test('nothing jumps: no joint turns by a degree in a period', () => {
    for (let i = 1; i < log.rows; i++)
      for (const joint of [LOG.knee, LOG.ankle])
        expect(Math.abs(y(i, joint) - y(i - 1, joint))).toBeLessThan(Math.PI / 180);
  });

  // seated and still: what the ground, the other leg, the guide and the cushion bear is the whole weight
  test('seated, all that bears is the weight, and the seat bears most of it', () => {
    const row = rowAt(times.rises - 0.2);
    const seat = plan.setup.seat!;
    const cushion = seat.stiffness * (seat.height - y(row, LOG.height));
    const borne = y(row, LOG.up) + y(row, LOG.other) + y(row, LOG.guide) + cushion;
    expect(Math.abs(borne / report.weight - 1)).toBeLessThan(0.01);
    expect(cushion / report.weight).toBeGreaterThan(0.6);
    expect(Math.abs(y(row, LOG.height) - scenario.chair.hip)).toBeLessThan(0.03);
  });

  // moments about the knee of what hangs below it and what the ground pushes, from their places alone
  test('seated, the knee holds shank and foot as statics asks', () => {
    const { segments } = input.leg;
    const row = rowAt(times.rises - 0.2);
    const shank = y(row, LOG.thigh) - y(row, LOG.knee);
    const foot = shank + y(row, LOG.ankle);
    const across = (phi: number, { x, z }: { x: number; z: number }) => x * Math.cos(phi) - z * Math.sin(phi);
    const ankle = segments.shank.length * Math.sin(shank);
    const down = -segments.shank.length * Math.cos(shank);
    const weights =
      -segments.shank.mass * G * across(shank, segments.shank.centre) -
      segments.foot.mass * G * (ankle + across(foot, segments.foot.centre));
    const kneeHeight = y(row, LOG.height) - segments.thighLength * Math.cos(y(row, LOG.thigh));
    // the ground acts where the centre of pressure is, on the floor
    const ground = (ankle + y(row, LOG.pressure)) * y(row, LOG.up) + kneeHeight * y(row, LOG.forward);
    expect(down).toBeLessThan(0);
    // flexion turns the shank backwards: its torque counts against counter-clockwise
    expect(Math.abs(-y(row, LOG.kneeTorque) + weights + ground)).toBeLessThan(1.5);
  });

  test('is drawn as one stretch: every pose of the leg is there, the stride’s own only while it is walked', () => {
    const record = walk.record();
    const ranges = strideRanges(log);
    expect(ranges).toHaveLength(1);
    const { segments } = input.leg;
    for (let row = 0; row < log.rows; row += 500) {
      const { hip, leg, ownLeg } = walkPose(record, segments, ranges[0]!, row);
      const lowest = Math.min(...leg.sole.map(({ z }) => hip.z + z));
      expect(Math.abs(lowest - y(row, LOG.lowest))).toBeLessThan(5e-3);
      expect(Number.isNaN(ownLeg.ankle.x)).toBe(y(row, LOG.time) > times.lowers);
    }
    const { knee, duration } = walkCurves(record, ranges[0]!);
    expect(duration).toBeCloseTo(log.rows * log.period, 6);
    expect(knee.angle.every(Number.isFinite)).toBe(true);
  });

  test('standing, each leg bears half', () => {
    const row = rowAt(times.lowers - 0.2);
    expect(Math.abs(y(row, LOG.up) / report.weight - 0.5)).toBeLessThan(0.05);
    expect(Math.abs(y(row, LOG.heightRate))).toBeLessThan(1e-3);
  });
});

test('its course is as fast as its places say, and as far as leg and seat say', () => {
  const level = walkPlan(input, { speed: 1.1, control: 'study', thigh: 'led', ground: 'overground' });
  if ('openBecause' in level) throw new Error(level.openBecause);
  const way = {
    standing: { thigh: 0, shank: -0.1 },
    seated: { thigh: 1.5, shank: -0.3 },
    thighLength: 0.4,
    shankLength: 0.45,
    over: 2,
    sits: 1,
    share: 0.6,
  };
  const step = 1e-3;
  const { table, perStride } = chairCourse(level.setup.course, way, step);
  const at = (i: number, place: number): number => table[i * COURSE_WIDTH + place]!;
  for (let i = 1; i < perStride; i += 7) {
    for (const [place, rate, bound] of [
      [COURSE.height, COURSE.heightRate, 2e-2],
      [COURSE.thigh, COURSE.thighRate, 2e-2],
      [COURSE.x, COURSE.xRate, 2e-2],
      [COURSE.xRate, COURSE.xAcceleration, 0.3],
      [COURSE.thighRate, COURSE.thighAcceleration, 0.5],
    ] as const)
      expect(Math.abs((at(i + 1, place) - at(i - 1, place)) / 2 / step - at(i, rate))).toBeLessThan(bound);
  }
  // down by what the two segments lose in height, and back up to where it stood
  const stood = at(perStride, COURSE.height);
  const lowest = Math.min(...Array.from({ length: perStride }, (_, i) => at(i, COURSE.height)));
  const lost = 0.4 * (1 - Math.cos(1.5)) + 0.45 * (Math.cos(0.1) - Math.cos(0.3));
  expect(stood - lowest).toBeCloseTo(lost, 9);
});

test('least jerk: from rest to rest, half way in half the time, 1.875 times as fast there as on average', () => {
  expect(leastJerk(0)).toEqual([0, 0, 0]);
  expect(leastJerk(1)).toEqual([1, 0, 0]);
  const [half, fastest] = leastJerk(0.5);
  expect(half).toBe(0.5);
  expect(fastest).toBe(1.875);
});

test('a chair that cannot be told says why', () => {
  const open = (change: Partial<Scenario>): string => {
    const made = openScenario(input, { ...scenario, ...change }, 2.5e-4);
    return 'openBecause' in made ? made.openBecause : '';
  };
  expect(open({ control: 'clock' })).toContain('only a controller with states');
  expect(open({ chair: { ...scenario.chair, hip: 0.9 } })).toContain('a hip between 0.12 and 0.55 m');
});
