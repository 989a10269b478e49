import { beforeAll, describe, expect, test } from 'vitest';
import { openStudy } from '../../store/open-study.ts';
import { blendMap, liveMap } from '../control/speed-blend.ts';
import { taskTrajectory, trajectoryForTask } from '../control/task-trajectory.ts';
import { periodicTrajectory } from '../control/trajectory.ts';
import { sampleCurve } from '../gait/curve.ts';
import { taskStride } from '../gait/demand.ts';
import { Fault } from '../quantity/fault.ts';
import { LOG, LOG_WIDTH } from '../walk/walk-log.ts';
import { controlledLeg } from './controlled-leg.ts';
import { studyDemands } from './design.ts';
import { stanceAboutStride } from './stance-about-stride.ts';
import type { StudyInput } from './study-input.ts';
import { openWalkReport, type WalkReport } from './walk-report.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const demands = studyDemands(input);
const STRIDES = 8;

function walked(speed: number, thigh: 'prescribed' | 'led'): { report: WalkReport; used: number[] } {
  const walk = openWalkReport(input, { speed, thigh, control: 'study' }, { step: 5e-4, strides: STRIDES });
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < STRIDES && walk.stride(); k++);
  const { log } = walk.record();
  const all = Array.from({ length: log.rows }, (_, i) => log.table[i * LOG_WIDTH + LOG.speed]!);
  return { report: walk.report(), used: all.filter((v, i) => i === 0 || v !== all[i - 1]) };
}

describe('CTL-SPEED walking by speed, in closed loop', () => {
  const walks = new Map<string, ReturnType<typeof walked>>();
  beforeAll(() => {
    for (const [speed, thigh] of [
      [0.8, 'led'],
      [1.1, 'prescribed'],
      [1.25, 'prescribed'],
      [1.4, 'prescribed'],
      [1.4, 'led'],
    ] as const)
      walks.set(`${speed} ${thigh}`, walked(speed, thigh));
  });

  test.each(['0.8 led', '1.1 prescribed', '1.25 prescribed', '1.4 prescribed', '1.4 led'])(
    'at %s it walks without a fault, every figure inside what was published, and reads its speed within 0.06 m/s from the third stance on',
    (which) => {
      const { report, used } = walks.get(which)!;
      expect(report.fell).toBeUndefined();
      expect(report.faultShare).toBe(0);
      expect(report.checks.filter(({ holds }) => !holds).map(({ what }) => what)).toEqual([]);
      // begins at the speed of the file, no step larger than it allows
      expect(used[0]).toBeCloseTo(input.controller!.controller.speed!.start, 6);
      used.slice(1).forEach((speed, k) => {
        expect(Math.abs(speed - used[k]!)).toBeLessThanOrEqual(0.3 + 1e-6);
      });
      for (const speed of used.slice(3)) expect(Math.abs(speed - report.speed)).toBeLessThan(0.06);
    },
  );
});

describe('CTL-SWING a knee that carries itself, in closed loop', () => {
  /** Mean |knee − where it is led| late in swing, rad, with this share asked for ahead beside one and the same spring and damper. */
  const trail = (carries: number): number => {
    const { controller } = input.controller!;
    const states = controller.states.map((state) =>
      state.name === 'swing'
        ? { ...state, knee: { kind: 'thigh', stiffness: 420, damping: 10, carries } as const }
        : state,
    );
    const study: StudyInput = {
      ...input,
      controller: { ...input.controller!, controller: { ...controller, states } },
    };
    const walk = openWalkReport(
      study,
      { speed: 1.4, thigh: 'led', control: 'study' },
      { step: 5e-4, strides: 6 },
    );
    if ('openBecause' in walk) throw new Error(walk.openBecause);
    for (let k = 0; k < 6 && walk.stride(); k++);
    expect(walk.report().fell).toBeUndefined();
    const { log } = walk.record();
    const [sum, count] = [new Float64Array(1), new Float64Array(1)];
    for (let at = (log.rows >> 1) * LOG_WIDTH; at < log.rows * LOG_WIDTH; at += LOG_WIDTH) {
      const [place, target] = [log.table[at + LOG.place]!, log.table[at + LOG.kneeTarget]!];
      if (!(place > 0.9 && place < 0.97) || Number.isNaN(target)) continue;
      sum[0]! += Math.abs(log.table[at + LOG.knee]! - target);
      count[0]!++;
    }
    return sum[0]! / count[0]!;
  };

  test('its own weight and inertia are most of what it trails by: with all of them asked for less than half is left, with half of them some between', () => {
    const [none, half, all] = [trail(0), trail(0.5), trail(1)];
    expect(all).toBeLessThan(none / 2);
    expect(half).toBeLessThan(none);
    expect(half).toBeGreaterThan(all);
  });
});

describe('what goes by speed, as it is made', () => {
  const leg = controlledLeg(input, { demands });
  if ('openBecause' in leg) throw new Error(leg.openBecause);

  test('a blend of two swings is the fit over all speeds at the speed between: both are linear in it', () => {
    const { maps } = leg.compiled.bySpeed!;
    const stack = maps[0]!;
    const live = liveMap(stack[0]!.of);
    const sources = ['walk-slow', 'walk-natural', 'walk-1p4', 'walk-fast'].map((id) => {
      const demand = demands[id]!;
      const task = input.tasks.find((each) => each.id === id)!;
      if (demand.kind !== 'stride' || task.kind !== 'stride') throw new Error(id);
      return { id, speed: demand.speed };
    });
    const own = (id: string) => sources.find((each) => each.id === id)!.speed;
    // the middle of what the leg reads of two strides is the middle of the strides' own speeds
    blendMap(live, stack, (stack[0]!.speed + stack[1]!.speed) / 2);
    const strides = sources.map(({ id, speed }) => {
      const task = input.tasks.find((each) => each.id === id)!;
      if (task.kind !== 'stride') throw new Error(id);
      const { stride } = taskStride(task, input.strides, input.wearer);
      return {
        task: [speed],
        trajectory: periodicTrajectory(sampleCurve(stride.joints.knee!.angle).value, 8),
      };
    });
    const centre = sources.reduce((sum, { speed }) => sum + speed, 0) / sources.length;
    const middle = (own('walk-slow') + own('walk-natural')) / 2;
    const { trajectory } = trajectoryForTask(taskTrajectory(strides, [centre]), [middle]);
    trajectory.forEach((x, k) => {
      expect(Math.abs(live.map.knee[k]! - x)).toBeLessThan(1e-6);
    });
  });

  test('about its own stride a stance gives that stride’s moment, whatever spring and damper are stated', () => {
    const demand = demands['walk-natural']!;
    if (demand.kind !== 'stride') throw new Error('no stride');
    const { angle, velocity, humanMoment, momentCover } = demand.joints.ankle!;
    const range = input.leg.joints.ankle!.range;
    const early = angle.subarray(0, angle.length >> 3);
    const flat = early.indexOf(Math.min(...early));
    for (const gains of [
      { stiffness: 300, damping: 0 },
      { stiffness: 500, damping: 7 },
    ]) {
      const points = stanceAboutStride({ demands }, 'walk-natural', 'ankle', gains, range);
      if ('openBecause' in points) throw new Error(points.openBecause);
      for (const { at, stiffness, equilibrium, damping } of points) {
        const place = at * demand.stance * (angle.length - 1);
        const i = Math.min(angle.length - 2, Math.floor(place));
        const of = (curve: Float64Array) => curve[i]! + (place - i) * (curve[i + 1]! - curve[i]!);
        const torque = stiffness * (equilibrium - of(angle)) - damping * of(velocity);
        // while the foot is lowered, up to the least angle of early stance, the damper resists it
        const lowers = place < flat ? damping * of(velocity) : 0;
        expect(Math.abs(torque + lowers - of(humanMoment) / momentCover)).toBeLessThan(1e-9);
      }
    }
    const soft = stanceAboutStride(
      { demands },
      'walk-natural',
      'ankle',
      { stiffness: 60, damping: 0 },
      range,
    );
    expect('openBecause' in soft && soft.openBecause).toMatch(
      /60 N·m\/rad would rest at .* take a stiffer one/,
    );
  });

  const faulty = (tasks: readonly string[]): string => {
    const { controller } = input.controller!;
    const phases = { ...controller.phases, 'level-swing': { tasks, part: 'swing', finish: true } as const };
    const changed: StudyInput = {
      ...input,
      controller: { ...input.controller!, controller: { ...controller, phases } },
    };
    try {
      controlledLeg(changed, { demands });
    } catch (error) {
      if (error instanceof Fault) return error.message;
      throw error;
    }
    return 'none';
  };
  test.each([
    [
      'in a bad order',
      ['walk-natural', 'walk-slow'],
      /`walk-slow`, 0\.\d+ m\/s, stands after `walk-natural`.*slowest first/,
    ],
    ['twice the same', ['walk-slow', 'walk-slow'], /go at one speed.*Leave one of them out/],
    ['no walk at a known speed', ['walk-slow', 'stair-up'], /speed of `stair-up` is not known/],
    ['one alone', ['walk-slow'], /fewer than two tasks/],
  ])('tasks %s are a fault that says how to mend it', (_, tasks, told) => {
    expect(faulty(tasks)).toMatch(told);
  });
});
