import { describe, expect, test } from 'vitest';
import { checkController } from './check-controller.ts';
import { compileController } from './compile-controller.ts';
import type { Controller, ControlState, Transition } from './controller.ts';
import { twoStates } from './test-controller.ts';

const TIMING = { period: 0.01, delay: 0 };
const missing = (sensor: Controller['watches'][number]['sensor']) => ({
  name: `${sensor} lost`,
  sensor,
  detect: 'missing' as const,
  time: 0.05,
  reaction: 'safe' as const,
  within: 0.1,
});

/** The two states with what a sound machine has: a way out of unloaded stance with the thigh forward, a way back from safe. */
const sound: Controller = {
  ...twoStates,
  initial: 'stance',
  transitions: [
    ...twoStates.transitions,
    {
      from: 'stance',
      to: 'swing',
      when: [{ signal: 'load', below: 0.04 }],
      hold: 0.3,
      after: 0,
      priority: 1,
    },
    {
      from: 'safe',
      to: 'stance',
      when: [
        { signal: 'release', above: 0.5 },
        { signal: 'load', above: 0.3 },
      ],
      hold: 1,
      after: 0,
      priority: 0,
    },
  ],
  watches: [
    ...(
      [
        'thighRate',
        'knee',
        'ankle',
        'load',
        'kneeWinding',
        'ankleWinding',
        'bus',
        'elapsed',
        'release',
      ] as const
    ).map(missing),
    ...twoStates.watches,
  ],
};
const codes = (of: Controller): string[] => checkController(of, TIMING).map(({ code }) => code);
const without = (drop: (row: Transition) => boolean): Controller => ({
  ...sound,
  transitions: sound.transitions.filter((row) => !drop(row)),
});
const withState = (name: string, change: Partial<ControlState>): Controller => ({
  ...sound,
  states: sound.states.map((state) => (state.name === name ? { ...state, ...change } : state)),
});

describe('a controller as a machine', () => {
  test('a sound one has no fault', () => {
    expect(checkController(sound, TIMING)).toEqual([]);
  });

  test('unloaded with the thigh forward it would stay in stance for ever', () => {
    const [fault, ...others] = checkController(
      without(({ from, hold }) => from === 'stance' && hold === 0.3),
      TIMING,
    );
    expect(others).toEqual([]);
    expect(fault).toMatchObject({ code: 'control.trap', place: { path: 'states.stance' } });
    expect(fault!.what).toMatch(
      /`stance` is meant for load and cannot be left unloaded, thigh at 5°, knee at 0°/,
    );
    expect(fault!.mend).toMatch(/no load for 0.3 s/);
  });

  test('a state that bears and cannot be reached by bearing, a state that nothing leads to', () => {
    expect(codes(without(({ to }) => to === 'stance'))).toContain('control.trap');
    const lost: ControlState = { ...sound.states[0]!, name: 'lost' };
    expect(codes({ ...sound, states: [...sound.states, lost] })).toContain('control.unreachable');
  });

  test('a safe state that nobody can leave, and one that is left by itself', () => {
    expect(codes(without(({ from }) => from === 'safe'))).toEqual(['control.no-standing']);
    const byItself = {
      ...sound,
      transitions: sound.transitions.map((row) =>
        row.from === 'safe' ? { ...row, when: row.when.filter(({ signal }) => signal === 'load') } : row,
      ),
    };
    expect(codes(byItself)).toContain('control.safe-leaves-itself');
  });

  test('two ways open at once, and none first', () => {
    const other: Transition = { ...sound.transitions[1]!, to: 'safe', priority: 0 };
    const faults = checkController({ ...sound, transitions: [...sound.transitions, other] }, TIMING);
    expect(faults.map(({ code }) => code)).toContain('control.conflict');
    const first = { ...other, priority: -1 };
    expect(codes({ ...sound, transitions: [...sound.transitions, first] })).not.toContain('control.conflict');
    const apart = { ...other, when: [{ signal: 'load', above: 0.5 } as const] };
    expect(codes({ ...sound, transitions: [...sound.transitions, apart] })).not.toContain('control.conflict');
  });

  test('thresholds without a gap chatter', () => {
    const close = sound.transitions.map((row) =>
      row.from === 'swing' ? { ...row, when: [{ signal: 'load', above: 0.03 } as const] } : row,
    );
    expect(codes({ ...sound, transitions: close })).toContain('control.chatter');
  });

  test('three states that chase one another while nothing moves; a beginning that needs a toe-off before it', () => {
    const to = (from: string, next: string): Transition => ({
      from,
      to: next,
      when: [{ signal: 'load', above: 0.08 }],
      hold: 0.05,
      after: 0,
      priority: 5,
    });
    const third: ControlState = { ...sound.states[1]!, name: 'third' };
    const chase = [to('stance', 'third'), to('third', 'fourth'), to('fourth', 'stance')];
    const states = [...sound.states, third, { ...third, name: 'fourth' }];
    expect(codes({ ...sound, states, transitions: [...sound.transitions, ...chase] })).toContain(
      'control.goes-round',
    );
    const phases = { back: { task: 'walk', part: 'stance', finish: true } } as const;
    expect(codes({ ...withState('stance', { phase: 'back' }), phases })).toEqual(['control.initial-phase']);
  });

  test('a sensor that nothing watches, a reaction later than declared', () => {
    const blind = { ...sound, watches: sound.watches.filter(({ sensor }) => sensor !== 'load') };
    const [fault] = checkController(blind, TIMING);
    expect(fault).toMatchObject({ code: 'control.unwatched' });
    expect(fault!.what).toContain('`load`');
    const hasty = { ...sound, watches: sound.watches.map((watch) => ({ ...watch, within: 0.03 })) };
    const slow = checkController(hasty, TIMING).find(({ code }) => code === 'control.too-slow');
    // 50 ms must be passed: six ticks of 10 ms
    expect(slow!.what).toMatch(/declares 30 ms to the safe state and needs 60\.0 ms/);
  });

  test('a safe state that needs the thigh, a fault that leads to none, a joint without its phase', () => {
    const thigh = withState('safe', { phase: 'level', knee: { kind: 'thigh', stiffness: 1, damping: 1 } });
    expect(codes({ ...thigh, phases: { level: { task: 'walk', part: 'swing', finish: true } } })).toContain(
      'control.safe-needs-thigh',
    );
    expect(codes(withState('stance', { safe: 'swing' }))).toContain('control.safe-not-safe');
    expect(codes(withState('swing', { knee: { kind: 'thigh', stiffness: 1, damping: 1 } }))).toContain(
      'control.no-phase',
    );
  });

  test('a schedule that jumps, and one that leaves part of stance out', () => {
    const point = (at: number) => ({ at, stiffness: 100 * (1 + at), equilibrium: 0, damping: 1 });
    const of = (points: readonly number[]): string[] =>
      checkController(sound, TIMING, { knee: [points.map(point)] }).map(({ code }) => code);
    expect(of([0, 0.5, 1])).toEqual([]);
    expect(of([0, 0.5, 0.5, 1])).toEqual(['control.schedule-jumps']);
    expect(of([0, 0.5])).toEqual(['control.schedule-ends']);
  });
});

describe('what cannot be compiled', () => {
  const parts = { period: 0.01, bodyWeight: 1, maps: {}, schedules: {} };
  const stiff = (stiffness: number): Controller =>
    withState('stance', { knee: { kind: 'spring', stiffness, damping: 1, equilibrium: 0 } });

  test.each([
    ['beyond float32', stiff(1e39)],
    ['no number', stiff(Number.NaN)],
  ])('a value %s', (_, of) => {
    expect(() => compileController(of, parts)).toThrow(/float32 holds, and firmware computes in float32/);
  });

  test('a stiffness beyond the gears, a state that is not there, limits with nothing to fade over', () => {
    expect(() => compileController(sound, { ...parts, software: () => undefined })).toThrow(
      /stiffer than the knee’s own gears/,
    );
    expect(() => compileController({ ...sound, initial: 'stnce' }, parts)).toThrow(/there is no `stnce`/);
    const { knee, ankle } = sound.limits;
    expect(() =>
      compileController({ ...sound, limits: { ankle, knee: { ...knee, hot: knee.warm } } }, parts),
    ).toThrow(/nothing to fade over/);
  });
});
