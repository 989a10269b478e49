import { askedImpedance, burdenByRatio, evaluateDesign } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { fieldRows } from './log-fields.ts';
import { BURDEN_RATIOS, burdenFields, renderedFields } from './rendered-model.ts';

const { input } = await openStudy(new URL('../../../examples/tern', import.meta.url).pathname);

test('up to the marked frequency every point of the stiffness lies in the band, and the next beyond it does not', () => {
  const of = askedImpedance(input, 'ankle', { stiffness: 300, damping: 4 });
  if ('openBecause' in of) throw new Error(of.openBecause);
  const { at, fields, places } = renderedFields(of, 'ankle');
  const [stiffness] = fields;
  const upTo = places[0]!.value;
  const values = stiffness!.curves[0]!.values;
  const [low, high] = stiffness!.band!;
  expect([low, high]).toEqual([270, 330]);
  at.forEach((f, k) => {
    if (f < upTo) expect(values[k]! > 269.99 && values[k]! < 330.01).toBe(true);
  });
  const beyond = values[at.findIndex((f) => f > upTo)]!;
  expect(beyond < low || beyond > high).toBe(true);
  const rows = fieldRows({ ...renderedFields(of, 'ankle') });
  expect(rows).toHaveLength(at.length + 1);
  expect(rows[0]).toHaveLength(5);
});

test('inertia is asked for as none; in slow motion it is that of the slow reading', () => {
  const of = askedImpedance(input, 'ankle', { stiffness: 300, damping: 4 });
  if ('openBecause' in of) throw new Error(of.openBecause);
  const inertia = renderedFields(of, 'ankle').fields[2]!;
  expect(inertia.lines.map(({ value }) => value)).toEqual([
    0,
    of.joint.rotorInertia + of.joint.outputInertia,
  ]);
  expect(Math.abs(inertia.curves[0]!.values[0]! / of.slow.inertia - 1)).toBeLessThan(0.01);
});

test('the burden is cut in two at right angles at every ratio, and the leg’s own is among them', () => {
  const design = evaluateDesign(input);
  const burden = burdenByRatio(input, design, 'ankle', 'walk-natural', BURDEN_RATIOS);
  const { at, fields, places } = burdenFields(burden, 'ankle', 22);
  const [all, mends, lasts] = fields[0]!.curves;
  at.forEach((_, k) => {
    expect(all!.values[k]! ** 2).toBeCloseTo(mends!.values[k]! ** 2 + lasts!.values[k]! ** 2, 9);
  });
  expect(at).toContain(22);
  expect(at.toSorted((a, b) => a - b)).toEqual(at);
  expect(places[0]).toEqual({ value: 22, label: 'this leg 22 : 1' });
  // a ratio at which the current limit holds torque back is marked, below the leg’s
  const held = burden.filter(({ burden: { limited } }) => limited > 0).map(({ ratio }) => ratio);
  expect(places[1]!.value).toBe(Math.max(...held));
  expect(places[1]!.value).toBeLessThan(22);
});
