import { evaluateDesign, stanceOverPhase, stanceSchedule } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { scheduleModel } from './schedule-model.ts';

const { input } = await openStudy(new URL('../../../examples/tern', import.meta.url).pathname);
const design = evaluateDesign(input);
const demand = (id: string) => {
  const of = design.demands[id];
  if (of?.kind !== 'stride') throw new Error('a stride was expected');
  return of;
};

test('four scales on one stride, both schedules, nothing in swing, every value inside its scale', () => {
  const model = scheduleModel(
    'ankle',
    demand('walk-natural'),
    stanceSchedule(input, design, 'ankle'),
    stanceOverPhase(input, design, 'ankle'),
  );
  expect(model.scales.map(({ name }) => name)).toEqual([
    'Stiffness',
    'Damping',
    'Equilibrium',
    'Energy put in',
  ]);
  for (const { series, low, high, gap } of model.scales) {
    expect(gap).toBeUndefined();
    expect(series.map(({ label }) => label)).toEqual(['over phase', 'by sub-phase']);
    for (const { values } of series) {
      expect(values).toHaveLength(201);
      expect(values[200]).toBeNaN();
      for (const value of Array.from(values).filter((each) => !Number.isNaN(each))) {
        expect(value).toBeGreaterThanOrEqual(low);
        expect(value).toBeLessThanOrEqual(high);
      }
    }
  }
});

test('a task that no schedule serves is a gap, and so is a refusal', () => {
  const refused = { openBecause: 'they do not tell' };
  const model = scheduleModel('knee', demand('stair-up'), stanceSchedule(input, design, 'knee'), refused);
  for (const { series, gap } of model.scales) {
    expect(series).toEqual([]);
    expect(gap).toContain('no schedule');
  }
  expect(scheduleModel('knee', demand('walk-natural'), refused, refused).scales[0]!.gap).toContain(
    'no schedule',
  );
});
