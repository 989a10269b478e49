// A family of strides whose true dependence on speed and incline is known in closed form: the fit must give it back.
import { describe, expect, test } from 'vitest';
import { openStudy } from '../../store/open-study.ts';
import { spoilt } from '../../store/test-spoilt.ts';
import { type Trajectory, trajectoryAt } from '../control/trajectory.ts';
import type { Stride, StrideCurve } from '../gait/stride.ts';
import type { StrideTask, Task } from '../gait/task.ts';
import type { StudyInput } from './study-input.ts';
import { swingAt, swingFamily } from './swing-family.ts';
import { swingPlan } from './swing-plan.ts';
import { triedWalk } from './walk-map.ts';

const { input: demo } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const DEG = Math.PI / 180;

interface Walk {
  readonly speed: number;
  readonly incline: number;
}
const curve = (mean: number, cos: number, sin: number): StrideCurve => ({
  form: 'series',
  mean,
  drift: 0,
  cos: [cos, 0.1 * sin],
  sin: [sin, 0.05],
});
/** rad, γ in rad; `bent`: what a straight line does not have. */
const ANGLES: { readonly [angle in 'thigh' | 'knee' | 'ankle']: (at: Walk, bent: number) => StrideCurve } = {
  thigh: ({ speed, incline }) => curve(0.05 + incline, 0.3 + 0.1 * speed, 0.05),
  knee: ({ speed, incline }, bent) =>
    curve(0.4 - 0.8 * incline + bent * incline ** 2, 0.1 + 0.3 * incline, -0.4 - 0.1 * speed),
  ankle: ({ speed, incline }) => curve(0.5 * incline, 0.02 * speed, 0.1 - 0.4 * incline),
};

/** A study of these walks alone, each said to have been recorded; on the level without an incline where `silent`. */
function study(walks: readonly Walk[], { bent = 0, silent = false } = {}): StudyInput {
  const strides: Record<string, Stride> = {};
  const tasks = walks.map((at, k): Task => {
    const id = `walk-${k}`;
    const { thigh, knee, ankle } = ANGLES;
    strides[id] = {
      ...{ id, title: id, speed: at.speed, strideTime: 1.1, stance: 0.6, caveats: [] },
      activity: 'recorded',
      ...(!(silent && at.incline === 0) && { incline: at.incline }),
      joints: { knee: { angle: knee(at, bent) }, ankle: { angle: ankle(at, bent) } },
      thigh: thigh(at, bent),
      people: { count: 1, height: 1.75, who: 'nobody: a closed form' },
      origin: { citation: 'closed form', licence: 'none', status: 'demo' },
    };
    return {
      ...{ kind: 'stride', id, title: id, stride: id, coverage: 0, ankleSizing: 'curve', duty: {} },
    };
  });
  return { ...demo, tasks, strides };
}

/** The curve itself, by its series. */
const truth = (of: StrideCurve, place: number): number => {
  if (of.form !== 'series') throw new Error('a series');
  return of.cos.reduce(
    (sum, c, k) =>
      sum +
      c * Math.cos(2 * Math.PI * (k + 1) * place) +
      of.sin[k]! * Math.sin(2 * Math.PI * (k + 1) * place),
    of.mean,
  );
};
const at = (of: Trajectory, place: number): number => {
  const out = new Float64Array(3);
  trajectoryAt(of, place, out, 0);
  return out[0]!;
};
const PLACES = [0, 0.13, 0.41, 0.62, 0.77, 0.95];
const GRID: Walk[] = [0.8, 1.1, 1.4].flatMap((speed) =>
  [-5, 0, 6].map((slope) => ({ speed, incline: slope * DEG })),
);

describe('CTL-TR a swing fitted over speed and incline', () => {
  test('strides that are linear in both are given back, there and in between', () => {
    const of = study(GRID);
    for (const walk of [...GRID, { speed: 0.93, incline: 2.5 * DEG }, { speed: 1.31, incline: -4.1 * DEG }]) {
      const found = swingAt(of, walk);
      if ('openBecause' in found) throw new Error(found.openBecause);
      expect(found.from).toBe('9 walking tasks, linear in speed and incline, -5.0 to 6.0°');
      for (const angle of ['thigh', 'knee', 'ankle'] as const)
        for (const place of PLACES)
          expect(at(found[angle], place)).toBeCloseTo(truth(ANGLES[angle](walk, 0), place), 6);
    }
  });

  test('a bend in the incline is left as a straight line leaves it: closed form of three inclines', () => {
    const bent = 3;
    const walks = GRID.filter(({ incline }) => incline <= 0).concat(
      [0.8, 1.1, 1.4].map((speed) => ({ speed, incline: 5 * DEG })),
    );
    const of = study(walks, { bent });
    // on −a, 0, a the best line through γ² is its mean, 2·a²/3
    const left = (incline: number): number => bent * (incline ** 2 - (2 * (5 * DEG) ** 2) / 3);
    for (const incline of [-5, 0, 2, 5].map((x) => x * DEG)) {
      const found = swingAt(of, { speed: 1.2, incline });
      if ('openBecause' in found) throw new Error(found.openBecause);
      for (const place of PLACES) {
        const off = truth(ANGLES.knee({ speed: 1.2, incline }, bent), place) - at(found.knee, place);
        expect(off).toBeCloseTo(left(incline), 6);
      }
    }
  });

  test('each task of the study is followed by that fit', () => {
    const of = study(GRID);
    for (const task of of.tasks) {
      const plan = swingPlan(of, task as StrideTask);
      if ('openBecause' in plan) throw new Error(plan.openBecause);
      expect(plan.from).toContain('linear in speed and incline');
      for (const place of PLACES) expect(at(plan.knee, place)).toBeCloseTo(truth(plan.own.knee, place), 6);
    }
  });

  test('beyond the inclines and the speeds it refuses, and says how far they go', () => {
    const of = study(GRID);
    expect(swingAt(of, { speed: 1.1, incline: 6.5 * DEG })).toEqual({
      openBecause:
        'an incline of 6.5° was not fitted: the strides that were fitted were walked on -5.0 to 6.0°',
    });
    expect(swingAt(of, { speed: 1.5, incline: 0 })).toEqual({
      openBecause: '1.50 m/s was not fitted: the strides that were fitted were walked at 0.80 to 1.40 m/s',
    });
    expect(swingAt(of, { speed: Number.NaN, incline: 0 })).toHaveProperty('openBecause');
  });

  test.each([['two inclines', GRID.filter(({ incline }) => incline <= 0)]])(
    '%s are no line over incline: the level is fitted over speed, a slope stands alone',
    (_, walks) => {
      const of = study(walks);
      const family = swingFamily(of);
      if ('openBecause' in family) throw new Error(family.openBecause);
      expect(family.by).toEqual(['speed']);
      expect(swingAt(of, { speed: 1.1, incline: 3 * DEG })).toHaveProperty('openBecause');
      for (const task of of.tasks) {
        const plan = swingPlan(of, task as StrideTask);
        if ('openBecause' in plan) throw new Error(plan.openBecause);
        const level = plan.stride.incline === 0;
        expect(plan.from).toBe(level ? '3 level-walking tasks, linear in speed' : 'this stride alone');
      }
    },
  );

  test('strides that do not tell speed and incline apart are not fitted over both', () => {
    const along = [0.8, 1, 1.2, 1.4].map((speed) => ({ speed, incline: (speed - 1) * 0.2 }));
    expect(swingFamily(study(along))).toEqual({
      openBecause: 'the study has whole level walking at 1 speed, and a line over speed needs 3',
    });
  });

  test('a recording that says no incline is fitted with nothing, and the demo study is as it was', () => {
    // without the level two inclines are left
    expect(swingFamily(study(GRID, { silent: true }))).toEqual({
      openBecause: 'the study has whole level walking at 0 speeds, and a line over speed needs 3',
    });
    const own = swingFamily(demo);
    if ('openBecause' in own) throw new Error(own.openBecause);
    expect([own.count, own.by, own.inclines]).toEqual([4, ['speed'], { low: 0, high: 0 }]);
  });

  test('an imported stride has the incline of its recipe, and is then no level walking to the estimate', async () => {
    const folder = spoilt('tasks/own-walk.yaml', 'speed: 1.3 m/s', 'speed: 1.3 m/s\n      incline: -5 deg');
    const { input } = await openStudy(folder);
    const task = input.tasks.find(({ id }) => id === 'own-walk') as StrideTask;
    expect(input.strides[task.stride]!.incline).toBeCloseTo(-5 * DEG, 12);
    expect(triedWalk(input, task)).toEqual({
      openBecause: 'its stride was walked on a slope, and this is level walking',
    });
  });
});
