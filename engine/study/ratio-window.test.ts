// At which ratios a requirement is met: against closed forms in N, the ratio scan's own way of finding the smallest, and plain counting.
import { openStudy } from '@striderule/store';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Requirement } from '../evidence/requirement.ts';
import { evaluateDesign } from './design.ts';
import { metricCatalogue } from './metrics.ts';
import { metAt, mostMet, type RequirementWindow } from './most-met.ts';
import { movedByRatio } from './moved-by-ratio.ts';
import { ratioScan } from './ratio-scan.ts';
import { openRatioWindows } from './ratio-window.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const windowOf = openRatioWindows(input, 'ankle');
const { motor, transmission: t } = input.leg.joints.ankle!;

const asked = (metric: string, kind: 'at most' | 'at least', value: number): Requirement => ({
  id: metric,
  metric,
  joint: 'ankle',
  bound: { kind, value },
  because: 'test',
});
const up = (ratio: number): number => Math.ceil(10 * ratio) / 10;
const down = (ratio: number): number => Math.floor(10 * ratio) / 10;

describe('one requirement, by closed form', () => {
  test('inertia that is felt goes with N²: met from the bottom up to √(bound/J)', () => {
    const { windows } = windowOf(asked('reflectedInertia', 'at most', 0.09));
    expect(windows).toEqual([[3, down(Math.sqrt(0.09 / (motor.rotorInertia + t.inputInertia)))]]);
  });

  test('peak torque without losses goes with N: met from bound/τ to the top', () => {
    const most = metricCatalogue.peakJointTorqueLossless!.value(
      input,
      evaluateDesign(input),
      'ankle',
      undefined,
    );
    const each = ('value' in most ? most.value : Number.NaN) / t.ratio;
    // what the motor gives does not hang on the ratio: 8.4 N·m of torque constant times current
    expect(each).toBeCloseTo(1.5 * motor.polePairs * motor.fluxLinkage * 56.4, 1);
    expect(windowOf(asked('peakJointTorqueLossless', 'at least', 200)).windows).toEqual([
      [up(200 / each), 150],
    ]);
  });

  test('breakaway is a straight line in N, through the mesh and with the output’s own', () => {
    const bound = 2.5;
    const ratio = ((bound - t.outputBreakaway) * t.backDrivenEfficiency) / motor.breakawayDrag;
    expect(windowOf(asked('breakawayTorque', 'at most', bound)).windows).toEqual([[3, down(ratio)]]);
  });

  test('a bound that nothing keeps has no window; one that everything keeps has all', () => {
    expect(windowOf(asked('reflectedInertia', 'at most', 0)).windows).toEqual([]);
    expect(windowOf(asked('reflectedInertia', 'at least', 0)).windows).toEqual([[3, 150]]);
  });

  test('what cannot be predicted at any ratio says why', () => {
    const { joints, ...leg } = input.leg;
    const { thermal: _, ...ankle } = joints.ankle!;
    const cold = openRatioWindows({ ...input, leg: { ...leg, joints: { ...joints, ankle } } }, 'ankle');
    const { windows, openBecause } = cold(asked('windingTemperature', 'at most', 120 + 273.15));
    expect(windows).toEqual([]);
    expect(openBecause).toContain('thermal');
  });
});

test('torque margin 1 begins where the ratio scan, by quadratics in N, finds that torque suffices', () => {
  const [begin] = windowOf(asked('torqueMargin', 'at least', 1)).windows;
  expect(begin![0]).toBe(
    up(ratioScan(input, evaluateDesign(input), 'ankle', { ratios: [] }).smallest!.torqueFrom),
  );
});

test('each end of each window is an end: the design with that ratio keeps the bound, a tenth beyond does not', () => {
  for (const id of ['ankle-torque', 'ankle-speed', 'ankle-stiffness', 'ankle-winding-day']) {
    const requirement = input.requirements.find((r) => r.id === id)!;
    const metric = metricCatalogue[requirement.metric]!;
    const keeps = (ratio: number): boolean => {
      const joints = {
        ...input.leg.joints,
        ankle: { ...input.leg.joints.ankle!, transmission: { ...t, ratio } },
      };
      const moved = { ...input, leg: { ...input.leg, joints } };
      const got = metric.value(moved, evaluateDesign(moved), 'ankle', requirement.task);
      if (!('value' in got)) return false;
      return requirement.bound.kind === 'at most'
        ? got.value <= requirement.bound.value
        : got.value >= requirement.bound.value;
    };
    const { windows } = windowOf(requirement);
    expect(windows.length, id).toBeGreaterThan(0);
    for (const [from, to] of windows) {
      expect([keeps(from), keeps(to)], `${id} ${from} to ${to}`).toEqual([true, true]);
      if (from > 3) expect(keeps((10 * from - 1) / 10), `${id} below ${from}`).toBe(false);
      if (to < 150) expect(keeps((10 * to + 1) / 10), `${id} above ${to}`).toBe(false);
    }
  }
});

test('of the other joint nothing is among them, of the whole leg all; and nothing that walks judge', () => {
  const moved = input.requirements.filter((r) => movedByRatio(r, 'ankle', metricCatalogue[r.metric]));
  expect(moved.every(({ joint }) => joint !== 'knee')).toBe(true);
  expect(moved.map(({ metric }) => metric)).toContain('energyPerStride');
  expect(moved.every(({ metric }) => Object.hasOwn(metricCatalogue, metric))).toBe(true);
});

test('most met, by counting at every tenth', () => {
  const end = fc.integer({ min: 30, max: 80 });
  const window = fc.tuple(end, end).map(([a, b]) => [Math.min(a, b) / 10, Math.max(a, b) / 10] as const);
  const one = window.map(
    (w): RequirementWindow => ({
      requirement: asked('x', 'at most', 1),
      title: '',
      unit: '',
      windows: [w],
    }),
  );
  const none: RequirementWindow = { requirement: asked('y', 'at most', 1), title: '', unit: '', windows: [] };
  fc.assert(
    fc.property(fc.array(one, { minLength: 1, maxLength: 8 }), (some) => {
      const all = [...some, none];
      const count = (tenth: number) => all.filter((each) => metAt(each, tenth / 10)).length;
      const counts = Array.from({ length: 51 }, (_, k) => count(30 + k));
      const most = Math.max(...counts);
      const got = mostMet(all)!;
      expect(got.met).toBe(most);
      expect(got.window[0]).toBe((30 + counts.indexOf(most)) / 10);
      expect(got.lacking).toHaveLength(all.length - most);
      expect(got.lacking).toContain(none);
      const last = Math.round(10 * got.window[1]);
      for (const each of all.filter((r) => !got.lacking.includes(r)))
        expect(metAt(each, got.window[1])).toBe(true);
      expect(all.filter((r) => !got.lacking.includes(r)).every((r) => metAt(r, (last + 1) / 10))).toBe(false);
    }),
  );
  expect(mostMet([none])).toBeUndefined();
});
