import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { walkPlan } from '../study/walk-plan.ts';
import { COURSE, COURSE_WIDTH, type Pace, pacedCourse, walkCourse } from './walk-course.ts';
import { LOG, LOG_WIDTH, type WalkLog } from './walk-log.ts';
import { walkRun } from './walk-run.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const plan = walkPlan(input, { speed: 1.1, ground: 'overground', control: 'study' });
if ('openBecause' in plan) throw new Error(plan.openBecause);
const { setup } = plan;
const value = (log: WalkLog, row: number, place: number): number => log.table[row * LOG_WIDTH + place]!;
/** Slows down within 0.3 s to a stop, stands for 2 s, goes on. */
const STOP: Pace = [
  { at: 2.9, share: 1 },
  { at: 3.2, share: 0 },
  { at: 5.2, share: 0 },
  { at: 5.5, share: 1 },
];

describe('a course of changing pace', () => {
  test('at its own pace is the course of every stride, one after the other', () => {
    const own = walkCourse(setup.course, 1e-3);
    const paced = pacedCourse(setup.course, 1e-3, 2, [{ at: 0, share: 1 }]);
    const { strideLength } = setup.course.hip;
    for (let i = 0; i < 2 * own.steps; i += 7) {
      const a = ((own.first + i) % own.steps) * COURSE_WIDTH;
      const b = i * COURSE_WIDTH;
      for (const place of [
        COURSE.thigh,
        COURSE.thighRate,
        COURSE.thighAcceleration,
        COURSE.height,
        COURSE.other,
      ])
        expect(Math.abs(paced.table[b + place]! - own.table[a + place]!)).toBeLessThan(
          1e-6 * Math.max(1, Math.abs(own.table[a + place]!)),
        );
      const way = own.table[a + COURSE.x]! + (i / own.steps) * strideLength;
      expect(paced.table[b + COURSE.x]!).toBeCloseTo(way, 6);
    }
  });

  test('its rates are what its angles do, while it slows down and while it stands', () => {
    const step = 1e-3;
    const { table, steps } = pacedCourse(setup.course, step, 6, STOP);
    const at = (i: number, place: number): number => table[i * COURSE_WIDTH + place]!;
    for (let i = 2700; i < Math.min(steps - 1, 5700); i += 11)
      for (const [place, rate, bend] of [
        [COURSE.thigh, COURSE.thighRate, COURSE.thighAcceleration],
        [COURSE.x, COURSE.xRate, COURSE.xAcceleration],
      ] as const) {
        const slope = (at(i + 1, place) - at(i - 1, place)) / (2 * step);
        const curve = (at(i + 1, place) - 2 * at(i, place) + at(i - 1, place)) / step ** 2;
        expect(Math.abs(at(i, rate) - slope)).toBeLessThan(2e-3);
        expect(Math.abs(at(i, bend) - curve)).toBeLessThan(0.3);
      }
    for (let i = 3300; i < 5100; i += 100) expect(at(i, COURSE.xRate)).toBe(0);
    // standing, both legs together bear the weight
    expect(at(4000, COURSE.other)).toBeGreaterThan(0);
    expect(at(4000, COURSE.other)).toBeLessThanOrEqual(setup.course.weight * (1 + 1e-12));
  });
});

describe('a walk of changing pace', () => {
  test('balances its energy, stands while it is told to, and goes on', () => {
    const log = walkRun({ ...setup, pace: STOP }, 2.5e-4, 6);
    expect(log.fell).toBeUndefined();
    expect(log.residual).toBeLessThan(0.003 * log.moved);
    const row = (t: number): number => Math.round(t / log.period) - 1;
    for (const place of [LOG.knee, LOG.ankle, LOG.thigh])
      expect(Math.abs(value(log, row(5), place) - value(log, row(4.5), place))).toBeLessThan(2e-3);
    expect(value(log, row(5.2), LOG.place)).toBeCloseTo(value(log, row(3.3), LOG.place), 9);
    expect(value(log, log.rows - 1, LOG.place)).not.toBeCloseTo(value(log, row(5), LOG.place), 2);
  });

  test('is refused on a treadmill, and where it does not begin at its own pace', () => {
    expect(() => walkRun({ ...setup, ground: 'treadmill', pace: STOP }, 5e-4, 1)).toThrow(/goes overground/);
    expect(() => walkRun({ ...setup, pace: [{ at: 0, share: 0.5 }] }, 5e-4, 1)).toThrow(/at its own pace/);
  });
});
