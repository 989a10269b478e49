import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { faultRows, openFaultMap, openFaultWalk } from './walk-faults.ts';
import { openPowerCut } from './walk-power-cut.ts';
import type { OpenReport } from './walk-report.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const CHOICE = { speed: 1.1, thigh: 'led' } as const;
const STEP = 2.5e-4;
const PLACES = [0.1, 0.7];

const map = openFaultMap(input, CHOICE, STEP);
if ('openBecause' in map) throw new Error(map.openBecause);
const { at } = map;
const rows = faultRows(input.leg, PLACES.flatMap(at));

function walked(open: (OpenReport & { readonly strides: number }) | { readonly openBecause: string }) {
  if ('openBecause' in open) throw new Error(open.openBecause);
  for (let k = 0; k < open.strides && open.stride(); k++);
  return { record: open.record(), report: open.report() };
}

test.each(
  rows
    .flatMap(({ id, trials }) => trials.map((trial) => ({ id, ...trial })))
    .filter(({ outcome }) => outcome === 'fell'),
)('the whole walk with $id at $place falls as that trial of the map did', ({ id, place, why, after }) => {
  const { report, record } = walked(openFaultWalk(input, CHOICE, { step: STEP, fault: id, place }));
  expect(report.fell?.why).toBe(why);
  expect(report.fell!.time - record.wrongFrom!).toBeCloseTo(after!, 9);
  // nothing of it is a mean or a figure to be set against a published one
  expect([report.steady, report.checks]).toEqual([undefined, []]);
});

test('a trial is the same whatever was tried before it', () => {
  const again = [...PLACES].reverse().flatMap(at);
  expect(faultRows(input.leg, again).map(({ trials }) => trials.toReversed())).toEqual(
    rows.map(({ trials }) => trials),
  );
});

test('some of them fell', () => {
  expect(
    rows.flatMap(({ trials }) => trials).filter(({ outcome }) => outcome === 'fell').length,
  ).toBeGreaterThan(1);
});

test('a fault that there is not is told', () => {
  const open = openFaultWalk(input, CHOICE, { step: STEP, fault: 'rain', place: 0 });
  expect('openBecause' in open && open.openBecause).toContain('no fault `rain`');
});

test('the walk of a power cut ends as the cut is told to', () => {
  const cuts = openPowerCut(input, { speed: 1.1 }, STEP);
  if ('openBecause' in cuts) throw new Error(cuts.openBecause);
  for (const place of [0.2, 0.7]) {
    const { fell } = cuts.at(place);
    const { report, record } = walked(cuts.walk(place));
    expect(report.fell?.why).toBe(fell!.why);
    expect(report.fell!.time - record.wrongFrom!).toBeCloseTo(fell!.after, 9);
  }
});
