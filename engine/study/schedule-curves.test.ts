import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { evaluateDesign } from './design.ts';
import { overPhaseCurves, subphaseCurves } from './schedule-curves.ts';
import { stanceOverPhase, stanceSchedule } from './stance-schedule.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const design = evaluateDesign(input);
const TASK = 'walk-natural';
function known<T>(of: T | { readonly openBecause: string }): T {
  if (typeof of === 'object' && of !== null && 'openBecause' in of) throw new Error(of.openBecause);
  return of as T;
}
const demand = design.demands[TASK]!;
if (demand.kind !== 'stride') throw new Error('a stride was expected');

describe.each(['knee', 'ankle'] as const)('%s', (joint) => {
  const { angle } = demand.joints[joint]!;
  const toeOff = Math.floor(demand.stance * 200);

  test('by sub-phase: constant between events, and what is put in are the steps of the spring’s energy at them', () => {
    const schedule = known(stanceSchedule(input, design, joint));
    const curves = subphaseCurves(schedule, TASK)!;
    const { percent, energy } = schedule.tasks.find(({ task }) => task === TASK)!;
    let put = 0;
    for (let i = 1; i <= toeOff; i++) {
      const switches = percent.slice(1, -1).some((p) => Math.round(2 * p) === i);
      const same =
        curves.stiffness[i] === curves.stiffness[i - 1] &&
        curves.equilibrium[i] === curves.equilibrium[i - 1];
      expect(same).toBe(!switches);
      // at one angle from one spring to another: ½·K·(θ − θ_eq)² of the later less that of the earlier
      const stored = (k: number) => 0.5 * curves.stiffness[k]! * (angle[i]! - curves.equilibrium[k]!) ** 2;
      if (switches) put += stored(i) - stored(i - 1);
      expect(curves.putIn[i]).toBeCloseTo(put, 9);
    }
    expect(curves.putIn[toeOff]).toBeCloseTo(energy.injected, 9);
  });

  test('over phase: what is put in is the integral of ½·K̇·e² − K·e·θ̇_eq, from differences', () => {
    const curves = overPhaseCurves(known(stanceOverPhase(input, design, joint)), TASK)!;
    const { stiffness: K, equilibrium: q } = curves;
    let [put, largest] = [0, 0];
    for (let i = 1; i <= toeOff; i++) {
      const e = (angle[i]! + angle[i - 1]!) / 2 - (q[i]! + q[i - 1]!) / 2;
      put += 0.5 * (K[i]! - K[i - 1]!) * e * e - ((K[i]! + K[i - 1]!) / 2) * e * (q[i]! - q[i - 1]!);
      largest = Math.max(largest, Math.abs(put));
      expect(Math.abs(curves.putIn[i]! - put)).toBeLessThan(0.02 * largest + 0.02);
    }
    expect(largest).toBeGreaterThan(1);
  });

  test('nothing in swing, nothing of a task that the schedule does not serve', () => {
    const curves = subphaseCurves(known(stanceSchedule(input, design, joint)), TASK)!;
    for (const values of Object.values(curves)) {
      expect(values).toHaveLength(201);
      expect(values[toeOff]).not.toBeNaN();
      expect(values[toeOff + 1]).toBeNaN();
    }
    expect(subphaseCurves(known(stanceSchedule(input, design, joint)), 'stair-up')).toBeUndefined();
  });
});
