// A slow error of the thigh's angle, told from what it reads at contact. What is expected is the closed form of the smoothing,
// d = e·(1 − 0.8ⁿ), about a contact that stands at 0.45 rad by hand: a mean of 0.05 and a cosine of 0.4.
import { describe, expect, test } from 'vitest';
import type { CarriedMap } from './carried-map.ts';
import { checkController } from './check-controller.ts';
import { compileController } from './compile-controller.ts';
import type { Controller, Watch } from './controller.ts';
import { controllerExercise } from './controller-exercise.ts';
import { type ControllerState, controllerState, HELD, N, OUTPUT, OUTPUTS } from './controller-memory.ts';
import { controllerTick } from './controller-tick.ts';
import { SPEED } from './speed-memory.ts';
import { swingMap } from './swing-map.ts';
import { ticked, twoStates } from './test-controller.ts';

const DEG = Math.PI / 180;
const AT_CONTACT = 0.45;
const LIMIT = 4 * DEG;

function carried(way: number, part: 'stance' | 'swing'): CarriedMap {
  const sign = part === 'stance' ? -1 : 1;
  const map = swingMap({
    thigh: Float64Array.of(0, 0.05 * sign, way * sign, 0),
    knee: Float64Array.of(0, 0.3, -0.2, 0.1),
    ankle: Float64Array.of(0, 0.02, 0.1, 0),
    stance: part === 'stance' ? 0 : 0.5,
    strideTime: 1,
    finish: true,
    path: part,
  });
  return { map, sign, scale: part === 'stance' ? 2 : 1, pace: 1 };
}

const wanders: Watch = {
  name: 'thigh wanders',
  sensor: 'thigh',
  detect: 'wanders',
  time: 0,
  limit: LIMIT,
  reaction: 'warn',
};

const [SWING_STATE, STANCE_STATE, SAFE_STATE] = twoStates.states;
const when = (signal: 'load' | 'release', above?: number, below?: number) => [
  { signal, ...(above !== undefined && { above }), ...(below !== undefined && { below }) },
];
const way = (from: string, to: string, on: ReturnType<typeof when>, priority = 0) => ({
  ...{ from, to, when: on, priority },
  ...{ hold: 0, after: 0 },
});
const machine: Controller = {
  ...twoStates,
  initial: 'standing',
  phases: {
    back: { task: 'a', part: 'stance', finish: true },
    forth: { task: 'a', part: 'swing', finish: true },
  },
  states: [
    { ...STANCE_STATE!, name: 'standing' },
    { ...SWING_STATE!, phase: 'forth' },
    { ...STANCE_STATE!, phase: 'back' },
    SAFE_STATE!,
  ],
  transitions: [
    way('standing', 'swing', when('load', undefined, 0.04)),
    way('standing', 'stance', when('release', 0.2, 0.4), 1),
    way('swing', 'stance', when('load', 0.08)),
    way('stance', 'swing', when('load', undefined, 0.04)),
    way('stance', 'standing', when('release', 0.5), 1),
  ],
  watches: [wanders],
};
const compiled = (of: Controller = machine) =>
  compileController(of, {
    ...{ period: 0.01, bodyWeight: 1, schedules: {} },
    maps: { back: carried(0.4, 'stance'), forth: carried(0.4, 'swing') },
  });
const of = compiled();

/** One stride: in the air with the thigh back, then down with the thigh at `thigh`; whether it warns from then on. */
function contact(state: ControllerState, thigh: number, machine = of): boolean {
  const rows = [{ thigh: -0.3 }, { thigh }, { thigh, load: 1 }, { thigh: 0.1, load: 1 }];
  return ticked(machine, rows, state).at(-1)![OUTPUT.warning] === 1;
}
const d = (state: ControllerState): number => state.numbers[HELD.wanders]!;
const walked = (error: number, contacts: number): ControllerState => {
  const state = controllerState(of);
  for (let n = 0; n < contacts; n++) contact(state, AT_CONTACT + error);
  return state;
};

describe('the thigh at contact', () => {
  test.each([6, -6, 0.5])('of a constant error of %s°, after n contacts e·(1 − 0.8ⁿ) is seen', (degrees) => {
    const state = controllerState(of);
    for (let n = 1; n <= 40; n++) {
      const warns = contact(state, AT_CONTACT + degrees * DEG);
      const expected = degrees * DEG * (1 - 0.8 ** n);
      expect(d(state)).toBeCloseTo(expected, 6);
      expect(warns).toBe(Math.abs(expected) > LIMIT);
    }
  });

  test('warns from the fifth contact on with 6° off, and no longer once it is right again', () => {
    // 6·(1 − 0.8⁴) = 3.54, 6·(1 − 0.8⁵) = 4.03
    const state = walked(6 * DEG, 4);
    expect(contact(state, AT_CONTACT + 6 * DEG)).toBe(true);
    expect(contact(state, AT_CONTACT)).toBe(false);
  });

  test('an error below the limit is never told, however long it lasts', () => {
    const state = controllerState(of);
    for (let n = 0; n < 2000; n++) expect(contact(state, AT_CONTACT + 0.999 * LIMIT)).toBe(false);
    expect(d(state)).toBeCloseTo(0.999 * LIMIT, 6);
  });

  test('errors to and fro by the same, as strides vary, come to a ninth of them', () => {
    // d = q·e with d′ = −d: 0.2·e + 0.8·d = −d, so d = −e/9
    const state = controllerState(of);
    for (let n = 0; n < 200; n++)
      expect(contact(state, AT_CONTACT + (n % 2 ? -1 : 1) * 15 * DEG)).toBe(false);
    expect(d(state)).toBeCloseTo((-15 * DEG) / 9, 6);
  });

  test('quiet standing begins anew', () => {
    const state = walked(6 * DEG, 10);
    const [standing, stays] = ticked(of, [{ load: 1, thigh: 0, release: 1 }, { load: 1 }], state);
    expect(standing![OUTPUT.state]).toBe(of.initial);
    expect(stays![OUTPUT.warning]).toBe(0);
    expect(d(state)).toBe(0);
  });

  test('a step out of standing into stance is no contact', () => {
    const state = controllerState(of);
    const [, out] = ticked(of, [{ load: 1 }, { load: 1, thigh: -0.2, release: 0.3 }], state);
    expect(of.states[out![OUTPUT.state]!]).toBe('stance');
    expect(d(state)).toBe(0);
  });

  test('a thigh that gives no number at contact leaves it', () => {
    const state = walked(6 * DEG, 3);
    const before = d(state);
    ticked(of, [{ thigh: -0.3 }, { thigh: Number.NaN }, { thigh: Number.NaN, load: 1 }], state);
    expect(d(state)).toBe(before);
    contact(state, AT_CONTACT + 6 * DEG);
    expect(d(state)).toBeCloseTo(6 * DEG * (1 - 0.8 ** 4), 6);
  });

  test('by speed it is compared with the map of the speed that has just been latched', () => {
    const layers = (part: 'stance' | 'swing') => ({
      bySpeed: [
        // speeds are latched in steps of 1/1024 m/s: these are whole numbers of them
        { speed: 0.75, of: carried(0.3, part) },
        { speed: 1.75, of: carried(0.5, part) },
      ],
    });
    const bySpeed = compileController(
      { ...machine, speed: { start: 1.25, change: 0.3, loaded: 0.08, unloaded: 0.04 } },
      {
        ...{ period: 0.01, bodyWeight: 1, schedules: {} },
        maps: { back: layers('stance'), forth: layers('swing') },
        walk: {
          ...{ thigh: 0.42, shank: 0.43, sole: Float64Array.of(-0.05, -0.08, 0.2, -0.08) },
          ...{ flat: { pitch: 0, perSpeed: 0, centre: 0 }, speeds: { from: 0.3, to: 3 } },
          inclines: { from: -0.3, to: 0.3 },
        },
      },
    );
    const state = controllerState(bySpeed);
    contact(state, AT_CONTACT + 0.1, bySpeed);
    expect(d(state)).toBeCloseTo(0.02, 6);
    // in the air the speed is still the one before: 0.75 m/s counts as the foot comes down, with the thigh of its map at 0.35
    ticked(bySpeed, [{ thigh: -0.3 }, { thigh: 0.2 }], state);
    state.speed!.own[SPEED.used] = 0.75;
    ticked(bySpeed, [{ thigh: 0.2, load: 1 }], state);
    expect(d(state)).toBeCloseTo(0.8 * 0.02 + 0.2 * (0.2 - 0.35), 6);
  });

  test('a reaction that is safe leads to the safe state', () => {
    const strict = compiled({ ...machine, watches: [{ ...wanders, reaction: 'safe', within: 1 }] });
    const state = controllerState(strict);
    for (let n = 0; n < 4; n++) contact(state, AT_CONTACT + 6 * DEG, strict);
    expect(strict.states[state.counts[0]!]).toBe('stance');
    contact(state, AT_CONTACT + 6 * DEG, strict);
    expect(strict.states[state.counts[0]!]).toBe('safe');
  });

  test('a watch that warns moves nothing else', () => {
    const plain = compiled({ ...machine, watches: [] });
    const ticks = 20_000;
    const rows = controllerExercise(of, ticks, 5);
    const [one, other] = [controllerState(of), controllerState(plain)];
    const [a, b] = [new Float64Array(OUTPUTS), new Float64Array(OUTPUTS)];
    let warned = 0;
    let differ = 0;
    for (let k = 0; k < ticks; k++) {
      const row = rows.subarray(k * N, (k + 1) * N);
      controllerTick(of, one, row, a);
      controllerTick(plain, other, row, b);
      warned += a[OUTPUT.warning]!;
      a[OUTPUT.warning] = 0;
      for (let i = 0; i < OUTPUTS; i++) if (!Object.is(a[i], b[i])) differ++;
    }
    expect(differ).toBe(0);
    expect(warned).toBeGreaterThan(0);
  });
});

describe('what the checker says', () => {
  const codes = (over: Partial<Watch>, base = machine): string[] =>
    checkController({ ...base, watches: [{ ...wanders, ...over }] }, { period: 0.01, delay: 0 })
      .map(({ code }) => code)
      .filter((code) => code.startsWith('control.wanders'));

  test('a limit above 0° and up to 30° is taken, to warn or to be safe', () => {
    expect(codes({})).toEqual([]);
    expect(codes({ limit: 30 * DEG, reaction: 'safe', within: 1 })).toEqual([]);
    for (const limit of [0, -1 * DEG, 30.1 * DEG])
      expect(codes({ limit })).toEqual(['control.wanders-limit']);
  });

  test('no swing that ends in a paced stance: nothing would ever be compared', () => {
    const states = machine.states.map(({ phase, ...state }) => ({
      ...state,
      ...(phase === 'forth' && { phase }),
    }));
    expect(codes({}, { ...machine, states })).toEqual(['control.wanders-no-contact']);
    const apart = machine.transitions.filter(({ from, to }) => from !== 'swing' || to !== 'stance');
    expect(codes({}, { ...machine, transitions: apart })).toEqual(['control.wanders-no-contact']);
  });
});
