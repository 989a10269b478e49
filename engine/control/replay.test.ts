import { describe, expect, test } from 'vitest';
import { bernsteinSwingAt } from './bernstein-swing.ts';
import { compileController } from './compile-controller.ts';
import { type Controller, SENSORS } from './controller.ts';
import { controllerExercise } from './controller-exercise.ts';
import { OUTPUT } from './controller-memory.ts';
import { recordLog, replayLog } from './replay.ts';
import { statesOf, ticked, twoStates } from './test-controller.ts';
import { playPhase } from './thigh-play.ts';

const parts = { period: 0.01, bodyWeight: 800, maps: {}, schedules: {} };
// temperatures in kelvin, and nothing that latches
const warm = { ...twoStates.limits.knee, warm: 380, hot: 400 };
const walker: Controller = { ...twoStates, watches: [], limits: { knee: warm, ankle: warm } };
const compiled = compileController(walker, parts);
const readings = controllerExercise(compiled, 6400, 5);

describe('replay', () => {
  test('a controller over its own log does the same, tick by tick', () => {
    const replay = replayLog(compiled, recordLog(compiled, readings));
    expect(replay).toMatchObject({ ticks: 6400, torque: [0, 0], phase: 0 });
    expect(replay.first).toBeUndefined();
  });

  test('another version: the first difference is named with its time', () => {
    const log = recordLog(compiled, readings);
    const slower: Controller = {
      ...walker,
      transitions: walker.transitions.map((row) => (row.from === 'swing' ? { ...row, hold: 0.05 } : row)),
    };
    const replay = replayLog(compileController(slower, parts), log);
    const first = replay.first!;
    expect(first.what).toBe('state');
    // by hand: the first time that the log enters stance; the slower one is still in swing then
    const enters = log.state.findIndex((state, k) => k > 0 && state === 1 && log.state[k - 1] === 0);
    expect(first).toMatchObject({ tick: enters, was: 'stance', is: 'swing' });
    expect(first.time).toBeCloseTo(enters * 0.01, 6);
    expect(replay.differ.state).toBeGreaterThanOrEqual(3);
  });

  test('a torque a little off is found, one within float32 is not; a torque that is no number agrees with nothing', () => {
    const log = recordLog(compiled, readings);
    const off = (by: number) => ({ ...log, torque: log.torque.map((x, k) => (k === 200 ? x + by : x)) });
    expect(replayLog(compiled, off(0.9e-3)).first).toBeUndefined();
    expect(replayLog(compiled, off(0.01)).first).toMatchObject({ tick: 100, what: 'knee torque' });
    const none = replayLog(compiled, off(Number.NaN));
    expect(none.first).toMatchObject({ tick: 100, what: 'knee torque' });
    expect(none.torque[0]).toBeNaN();
  });

  test('states go by their names', () => {
    const log = recordLog(compiled, readings);
    const renamed = { ...log, states: ['swing', 'stand', 'safe'] };
    expect(replayLog(compiled, renamed).first).toMatchObject({ what: 'state', was: 'stand', is: 'stance' });
  });
});

test('the exercise: the same seed gives the same readings, all of them float32, and some of them none', () => {
  expect(controllerExercise(compiled, 6400, 5)).toEqual(readings);
  expect(controllerExercise(compiled, 6400, 4)).not.toEqual(readings);
  expect(readings.every((x) => Number.isNaN(x) || Math.fround(x) === x)).toBe(true);
  expect(readings.some(Number.isNaN)).toBe(true);
  expect(readings).toHaveLength(6400 * SENSORS.length);
});

// Three rows of a run of 2200 samples at 1 kHz, computed independently in double precision (a two-state controller written apart from
// this one): readings and answers as printed, to nine digits. Tolerance: what the same run in float32 was off by at most, 2.79e-5 N·m.
test('CTL-FW: modes, phase, trajectory and torque of an independent two-state controller', () => {
  const c = Float64Array.from([0.6, 0.95, 1.55, 0.5, 0.08, 0.08]);
  const [stiffness, damping] = [120, 4];
  const wide = { ...twoStates.limits.knee, torque: 1000, warm: 1000, hot: 2000 };
  const of: Controller = {
    ...twoStates,
    watches: [],
    limits: { knee: wide, ankle: wide },
    states: twoStates.states.map((state) => ({
      ...state,
      // in swing the damper alone: spring and trajectory are added below
      knee:
        state.name === 'stance'
          ? { kind: 'spring', stiffness: 180, damping: 4, equilibrium: 0.05 }
          : { kind: 'spring', stiffness: 0, damping, equilibrium: 0 },
    })),
    transitions: [
      {
        from: 'swing',
        to: 'stance',
        when: [{ signal: 'load', above: 60 }],
        hold: 5e-3,
        after: 0,
        priority: 0,
      },
      {
        from: 'stance',
        to: 'swing',
        when: [{ signal: 'load', below: 30 }],
        hold: 5e-3,
        after: 0,
        priority: 0,
      },
    ],
  };
  const machine = compileController(of, { ...parts, period: 1e-3, bodyWeight: 1 });
  const rows = Array.from({ length: 2200 }, (_, n) => {
    const turn = (2 * Math.PI * n * 1e-3) / 1.1;
    return {
      knee: Math.fround(0.45 - 0.35 * Math.cos(turn) + 0.28 * Math.sin(2 * turn)),
      thigh: Math.fround(0.1 + 0.36 * Math.cos(turn - 0.4)),
      load: Math.fround(Math.max(0, 600 * Math.sin(turn) + (n % 37 === 0 ? 80 : 0))),
    };
  });
  const out = ticked(machine, rows);
  const names = statesOf(machine, out);
  let s = 0;
  const answers = rows.map(({ knee, thigh }, n) => {
    if (n > 0 && names[n] !== names[n - 1]) s = 0;
    s = playPhase(s, (thigh + 0.14) / (0.43 + 0.14), 0.12);
    const led = bernsteinSwingAt(c, s);
    const own = out[n]![OUTPUT.kneeTorque]!;
    const torque = names[n] === 'stance' ? own : own + stiffness * (led - knee);
    return { s, led, torque: Math.max(-120, Math.min(120, torque)), mode: names[n] === 'stance' ? 1 : 0 };
  });
  expect(names.filter((name, n) => n > 0 && name !== names[n - 1])).toHaveLength(4);
  for (const [n, knee, thigh, load, torque, phase, led, mode] of [
    [700, 0.95635128, -0.223088995, 0, -35.3690263, 0, 0.6, 0],
    [1400, 0.420925081, 0.191574633, 593.892883, -62.3219083, 0.701709883, 0.42662535, 1],
    [2100, -0.0991356969, 0.303151727, 0, 45.4783023, 0.77745917, 0.284251991, 0],
  ] as const) {
    expect(rows[n]!.knee).toBeCloseTo(knee, 8);
    expect(rows[n]!.thigh).toBeCloseTo(thigh, 8);
    expect(rows[n]!.load).toBeCloseTo(load, 6);
    expect(answers[n]!.mode).toBe(mode);
    expect(answers[n]!.s).toBeCloseTo(phase, 8);
    expect(answers[n]!.led).toBeCloseTo(led, 8);
    expect(Math.abs(answers[n]!.torque - torque)).toBeLessThan(2.79e-5);
  }
});
