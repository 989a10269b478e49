// What the demo controller says of a thigh that is off, in walks: nothing of a sound one, a warning of one that has turned or drifts.
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { COMMAND, MEASURED, type WalkController } from '../walk/walk-controller.ts';
import { walkRun } from '../walk/walk-run.ts';
import { mappedFaults } from './walk-faults.ts';
import { walkPlan } from './walk-plan.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const DEG = Math.PI / 180;
const NAMES = input.controller!.controller.watches.map(({ name }) => name);
const LIMIT = input.controller!.controller.watches.find(({ detect }) => detect === 'wanders')!.limit!;
const TURNS = mappedFaults(input.leg).find(({ id }) => id === 'thigh-turns')!;
const FROM = 1.5;

/** Walks `strides` with the thigh off by `off` rad after t s; contacts between 1.5 s and the first word of it, and how the walk ended. */
function walked(
  speed: number,
  thigh: 'led' | 'prescribed',
  strides: number,
  of: { readonly off?: (t: number) => number; readonly turns?: true } = {},
): { told: readonly string[]; contacts: number; fell?: string } {
  const plan = walkPlan(input, { speed, thigh, control: 'study' });
  if ('openBecause' in plan) throw new Error(plan.openBecause);
  const told = new Set<string>();
  let contacts = 0;
  const listening = (own: WalkController): WalkController => {
    let [ticks, mode] = [0, 1];
    return {
      begin: own.begin,
      tick: (measured, command) => {
        const time = ticks++ * plan.setup.period;
        measured[MEASURED.thigh]! += of.off?.(time) ?? 0;
        own.tick(measured, command);
        if (mode === 1 && command[COMMAND.mode] === 0 && time > FROM && told.size === 0) contacts++;
        mode = command[COMMAND.mode]!;
        for (const what of [command[COMMAND.fault]!, command[COMMAND.warning]!])
          if (what > 0) told.add(NAMES[what - 1]!);
      },
    };
  };
  const { fell } = walkRun(
    {
      ...plan.setup,
      controller: () => listening(plan.setup.controller()),
      ...(of.turns && { fault: TURNS.at(FROM) }),
    },
    2.5e-4,
    strides,
  );
  return { told: [...told], contacts, ...(fell && { fell: fell.why }) };
}

test.each([
  [0.8, 'led'],
  [1.1, 'led'],
  [1.4, 'led'],
  [0.8, 'prescribed'],
  [1.1, 'prescribed'],
  [1.4, 'prescribed'],
] as const)('a sound walk at %s m/s, thigh %s: nothing is told', (speed, thigh) => {
  expect(walked(speed, thigh, 6).told).toEqual([]);
});

// of 5° for good 5·(1 − 0.8ⁿ) is seen: 2.4° after three contacts, 3.4° after five; what the walk itself is off by shifts it by one or two
test.each([0.95, 1.1, 1.25, 1.4])('at %s m/s a thigh that has turned by 5° is warned of', (speed) => {
  const { told, contacts, fell } = walked(speed, 'led', 11, { turns: true });
  expect(fell).toBeUndefined();
  expect(told).toEqual(['thigh-wanders']);
  expect(5 * DEG * (1 - 0.8 ** 3)).toBeLessThan(LIMIT);
  expect(5 * DEG * (1 - 0.8 ** 5)).toBeGreaterThan(LIMIT);
  expect(contacts).toBeGreaterThanOrEqual(3);
  expect(contacts).toBeLessThanOrEqual(7);
});

test('one that drifts by 0.8° a second up to 6°, either way, is warned of before the leg does anything else', () => {
  for (const sign of [1, -1]) {
    const off = (t: number): number => sign * Math.min(6, 0.8 * t) * DEG;
    expect(walked(1.1, 'led', 13, { off }).told[0]).toBe('thigh-wanders');
  }
});
