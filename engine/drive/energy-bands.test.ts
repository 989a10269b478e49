// Bands of a stride's energy, on the demo leg: what meets at each place must be the same counted in another way.
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { evaluateDesign } from '../study/design.ts';
import { taskEnergy } from '../study/energy.ts';
import { energyBands } from './energy-bands.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const design = evaluateDesign(input);
const tasks = Object.keys(design.demands).flatMap((id) => {
  const task = taskEnergy(input, design, id, 'cold');
  return 'openBecause' in task || design.demands[id]!.kind !== 'stride' ? [] : [{ id, ...task }];
});

/** Trapezoid over a stride of n samples, both ends included, J. */
const joules = (n: number, time: number, at: (i: number) => number): number => {
  let sum = 0;
  for (let i = 1; i < n; i++) sum += (at(i - 1) + at(i)) / 2;
  return (sum * time) / (n - 1);
};

describe.each(tasks)('$id', ({ energy, known }) => {
  const bands = energyBands(energy);
  const n = energy.asked.length;
  const [knee, ankle] = energy.power as [Float64Array, Float64Array];
  const size = energy.drawn + energy.returned;

  test('every place has as much in as out', () => {
    expect(size).toBeGreaterThan(10);
    expect(bands.residual).toBeLessThan(1e-9 * size);
  });

  test('what comes out of the cells for the joints is what the two ask for together, instant by instant', () => {
    const asked = joules(n, energy.time, (i) => Math.max(knee[i] + ankle[i], 0));
    expect(bands.joints.reduce((sum, { fromCells }) => sum + fromCells, 0)).toBeCloseTo(asked, 9);
    const back = joules(n, energy.time, (i) => Math.max(-knee[i] - ankle[i], 0));
    expect(bands.joints.reduce((sum, { toPack }) => sum + toPack, 0)).toBeCloseTo(back, 9);
  });

  test('the pack’s two losses are R·I² of its two directions', () => {
    const { current } = energy.flow;
    const R = known.supply.resistance;
    expect(bands.packGiving).toBeCloseTo(
      joules(n, energy.time, (i) => R * Math.max(current[i], 0) ** 2),
      9,
    );
    expect(bands.packTaking).toBeCloseTo(
      joules(n, energy.time, (i) => R * Math.min(current[i], 0) ** 2),
      9,
    );
  });

  test('what one joint gives, the other gets, and no band is below zero', () => {
    expect(bands.joints[0]!.toOther).toBe(bands.joints[1]!.fromOther);
    expect(bands.joints[1]!.toOther).toBe(bands.joints[0]!.fromOther);
    const { joints, residual: _, ...pack } = bands;
    for (const value of [
      ...Object.values(pack),
      ...joints.flatMap(({ stored: __, ...own }) => Object.values(own)),
    ])
      expect(value).toBeGreaterThanOrEqual(-1e-9 * size);
  });
});
