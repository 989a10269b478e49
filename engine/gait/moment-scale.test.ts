import { readFileSync } from 'node:fs';
import { referenceStrides } from '@striderule/reference';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ankleTarget } from './ankle-sizing.ts';
import { meanPeakMoment } from './joint-demand.ts';
import { momentScale } from './moment-scale.ts';
import type { JointName } from './stride.ts';
import type { StrideTask } from './task.ts';

const strides = referenceStrides();
const table = (name: string) =>
  JSON.parse(readFileSync(new URL(`../../reference/gait/tables/${name}`, import.meta.url), 'utf8')).rows;
const task = (more: Partial<StrideTask>): StrideTask => ({
  kind: 'stride',
  id: 'walk',
  title: 'Walk',
  stride: 'walk-natural',
  coverage: 0,
  ankleSizing: 'able-bodied',
  duty: {},
  ...more,
});
const scale = (id: string, joint: JointName, more: Partial<StrideTask> = {}) =>
  momentScale(task(more), strides[id], joint, meanPeakMoment(strides[id], joint));

test('able-bodied peaks follow the printed treadmill means at all 24 speeds', () => {
  // Camargo and others (2021): the fit's RMS is 0.016, so that 3 RMS hold every row
  for (const row of table('ankle-peaks.json')) {
    if (row.activity !== 'treadmill') continue;
    expect(
      Math.abs((ankleTarget('able-bodied', Number(row.condition)).peak ?? 0) - row.peakMoment),
    ).toBeLessThan(0.048);
  }
});

test('the intact side goes through its printed rows, and lies between them between them', () => {
  const rows = table('prosthesis-users.json').filter((r: { side: string }) => r.side === 'intact');
  for (const { speed, peakMoment } of rows)
    expect(ankleTarget('intact side', speed).peak).toBeCloseTo(peakMoment, 12);
  expect(ankleTarget('intact side', 1.3).peak).toBeCloseTo((1.821 + 2.019) / 2, 12);
  expect(ankleTarget('intact side', 1.9)).toEqual({
    peak: 2.019,
    why: 'the intact ankle of prosthesis users (Hood and others, 2020) at 1.4 m/s, the fastest published',
  });
  expect(ankleTarget('intact side', 0.4)).toEqual({
    why: 'the slowest published for the intact side of prosthesis users is 0.6 m/s',
  });
});

test('which peak was used, and why, is in words', () => {
  expect(scale('walk-natural', 'ankle').notes).toEqual([
    "Ankle sized on 1.54 N·m/kg, not the curve's 1.32: treadmill regression at 1.22 m/s (Camargo and others, 2021).",
  ]);
  expect(scale('walk-fast', 'ankle').notes[0]).toContain(
    "sized on 1.80 N·m/kg, not the curve's 1.25: fast overground walking (Camargo and others, 2021); their treadmill ends at 1.85 m/s, with 1.68",
  );
  expect(scale('ankle-treadmill-1p20', 'ankle').notes[0]).toContain(
    "Ankle keeps the curve's own 1.53 N·m/kg",
  );
  expect(scale('ankle-level', 'ankle').notes[0]).toContain('this stride names no speed');
  expect(scale('ankle-ramp-up', 'ankle')).toEqual({
    factor: 1,
    cover: 1,
    scatter: Number.NaN,
    notes: [],
  });
});

test('sizing is upwards only, whatever the speed', () => {
  const speeds = fc.double({ min: 0.1, max: 3, noNaN: true });
  const sizing = fc.constantFrom('able-bodied', 'intact side', 'curve' as const);
  fc.assert(
    fc.property(speeds, sizing, fc.double({ min: 0.2, max: 3, noNaN: true }), (speed, ankleSizing, peak) => {
      const stride = { ...strides['walk-natural'], speed };
      const { factor, notes } = momentScale(
        task({ ankleSizing: ankleSizing as StrideTask['ankleSizing'] }),
        stride,
        'ankle',
        peak,
      );
      return factor >= 1 && notes.length === 1;
    }),
    { seed: 11 },
  );
});

test('coverage: 1 + k·SD/|M|, by hand for the natural knee', () => {
  // Bovi and others (2011), natural, addendum: 0.42 ± 0.195 N·m/kg at 14 %; the series peaks within 1 % of range of it
  expect(scale('walk-natural', 'knee', { coverage: 2 }).factor).toBeCloseTo((0.42 + 2 * 0.195) / 0.42, 1);
  expect(scale('ankle-ramp-up', 'ankle', { coverage: 2 })).toEqual({
    factor: 1,
    cover: 1,
    scatter: Number.NaN,
    notes: ['Coverage 2 not applied to the ankle: no deviation was published with this curve.'],
  });
});

test('a coverage that is no count of deviations is refused', () => {
  for (const coverage of [-1, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => scale('walk-natural', 'knee', { coverage })).toThrow(
      `tasks.walk.coverage: Coverage counts standard deviations above the mean person, from 0 up, not ${coverage}. Use 0 for the mean person, 1.645 for 95 of 100 where people scatter normally.`,
    );
  }
});
