import type { CarriedMap } from './carried-map.ts';
import type { Controller, SchedulePoint } from './controller.ts';
import { swingMap } from './swing-map.ts';
import { twoStates } from './test-controller.ts';
import type { WalkMap } from './walk-estimate.ts';

/** s; m of thigh and shank. */
export const T = 1e-3;
export const [THIGH, SHANK] = [0.42, 0.43];

/** A stride of one harmonic, `way` rad of thigh to either side, knee and ankle with it. */
export function carried(way: number, part: 'stance' | 'swing', strideTime: number): CarriedMap {
  const sign = part === 'stance' ? -1 : 1;
  // thigh is furthest forward at contact, furthest back half a stride later
  const thigh = Float64Array.of(0, 0.05 * sign, way * sign, 0);
  const map = swingMap({
    thigh,
    knee: Float64Array.of(0, 0.3 + way, -0.2, 0.3 * way),
    ankle: Float64Array.of(0, 0.02, 0.1 * way, 0),
    stance: part === 'stance' ? 0 : 0.5,
    strideTime,
    finish: true,
    path: part,
  });
  return { map, sign, scale: part === 'stance' ? 2 : 1, pace: 1 / strideTime };
}

/** A schedule of three points. */
export const points = (offset: number): readonly SchedulePoint[] =>
  [0, 0.5, 1].map((at) => ({
    at,
    stiffness: 100 + 50 * at,
    equilibrium: offset + 0.1 * at,
    damping: 2 + offset,
  }));

/** Swing and stance paced by the thigh, by speed, and one that is safe. */
export const machine: Controller = {
  ...twoStates,
  initial: 'safe',
  speed: { start: 1.2, change: 0.3, loaded: 0.08, unloaded: 0.04 },
  phases: {
    back: { tasks: ['a', 'b'], part: 'stance', finish: true },
    forth: { tasks: ['a', 'b'], part: 'swing', finish: true },
  },
  schedules: { knee: { points: points(0) }, ankle: { points: points(0) } },
  states: [
    {
      name: 'swing',
      bears: 'no load',
      phase: 'forth',
      knee: { kind: 'thigh', stiffness: 100, damping: 3 },
      ankle: { kind: 'thigh', stiffness: 80, damping: 2 },
      safe: 'safe',
    },
    {
      name: 'stance',
      bears: 'load',
      phase: 'back',
      knee: { kind: 'schedule', schedule: 'knee' },
      ankle: { kind: 'schedule', schedule: 'ankle' },
      safe: 'safe',
    },
    ...twoStates.states.slice(2),
  ],
  transitions: [
    {
      from: 'safe',
      to: 'stance',
      when: [{ signal: 'load', above: 0.08 }],
      hold: 0.01,
      after: 0,
      priority: 0,
    },
    ...twoStates.transitions.map((row) => ({ ...row, hold: 0.005 })),
  ],
  watches: [],
};

/** What its estimate of speed and slope is told. */
export const WALK: WalkMap = {
  thigh: THIGH,
  shank: SHANK,
  sole: Float64Array.of(-0.05, -0.08, 0.2, -0.08),
  flat: { pitch: 0, perSpeed: 0, centre: 0 },
  speeds: { from: 0.3, to: 3 },
  inclines: { from: -0.3, to: 0.3 },
};
