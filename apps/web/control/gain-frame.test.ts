import { evaluateDesign, stanceSchedule } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { DAMPING_REACH, STIFFNESS_REACH } from '../design/gain-reach.ts';
import { gainFrame, gainsAt, xOf, yOf } from './gain-frame.ts';
import { gainMarks } from './gain-marks.ts';

test.each([936, 350])(
  '%i px: a point of the map and its gains are one another; the reach fills it',
  (width) => {
    const frame = gainFrame(width, 3);
    for (const gains of [
      { stiffness: 271, damping: 3.94 },
      { stiffness: 12, damping: 0.05 },
    ]) {
      const back = gainsAt(frame, xOf(frame, gains.stiffness), yOf(frame, gains.damping));
      expect(back.stiffness).toBeCloseTo(gains.stiffness, 9);
      expect(back.damping).toBeCloseTo(gains.damping, 9);
    }
    expect(xOf(frame, STIFFNESS_REACH.low)).toBeCloseTo(frame.x0, 9);
    expect(xOf(frame, STIFFNESS_REACH.high)).toBeCloseTo(frame.x0 + frame.axis, 9);
    expect(yOf(frame, DAMPING_REACH.low)).toBeCloseTo(frame.foot, 9);
    expect(yOf(frame, DAMPING_REACH.high)).toBeCloseTo(frame.top, 9);
    expect(frame.rows.every((y) => y > frame.base + 24 && y < frame.top)).toBe(true);
  },
);

test('marks: the schedule’s own springs, what pushing found of a person of that mass, what was tuned by hand', async () => {
  const { input } = await openStudy(new URL('../../../examples/tern', import.meta.url).pathname);
  const schedule = stanceSchedule(input, evaluateDesign(input), 'ankle');
  const [own, pushed, tuned] = gainMarks('ankle', 80, schedule);
  if ('openBecause' in schedule) throw new Error(schedule.openBecause);
  expect(own!.ticks.map(({ value }) => value)).toEqual(
    schedule.subphases.map(({ impedance }) => impedance.stiffness),
  );
  // 1.14 and 5.43 N·m/rad per kg: Ficanha, Ribeiro, Knop & Rastgaar 2018, abstract
  expect(pushed!.range![0]).toBeCloseTo(91.2, 9);
  expect(pushed!.range![1]).toBeCloseTo(434.4, 9);
  // table III of Sup et al. 2009: 3 and 5 N·m per degree
  expect(tuned!.ticks.map(({ value }) => value)).toEqual([3, 5].map((k) => (k * 180) / Math.PI));
  expect(gainMarks('knee', 80, { openBecause: 'no strides' }).map(({ name }) => name)).toEqual([
    'Tuned by hand',
  ]);
});
