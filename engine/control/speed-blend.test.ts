import { describe, expect, test } from 'vitest';
import { compileController } from './compile-controller.ts';
import { controllerState, copiedState, INPUT, OUTPUT, OUTPUTS } from './controller-memory.ts';
import { controllerTick } from './controller-tick.ts';
import { blendMap, liveMap } from './speed-blend.ts';
import { SPEED_STATUS } from './speed-memory.ts';
import { beginSwing, SWING, swingState, swingTick } from './swing-tick.ts';
import { carried, machine, points, SHANK, T, THIGH, WALK } from './test-speed.ts';
import { trajectoryAt } from './trajectory.ts';

const layersOf = <Of>(slow: Of, fast: Of) => ({
  bySpeed: [
    { speed: 0.8, of: slow },
    { speed: 1.6, of: fast },
  ],
});
const compiled = (slow: number, fast: number, single = false) => {
  const time = (way: number) => 1.4 - way;
  const map = (part: 'stance' | 'swing') =>
    single
      ? carried(slow, part, time(slow))
      : layersOf(carried(slow, part, time(slow)), carried(fast, part, time(fast)));
  const schedule = single ? points(slow) : layersOf(points(slow), points(fast));
  return compileController(
    single
      ? {
          ...machine,
          phases: {
            back: { task: 'a', part: 'stance', finish: true },
            forth: { task: 'a', part: 'swing', finish: true },
          },
        }
      : machine,
    {
      period: T,
      bodyWeight: 800,
      maps: { back: map('stance'), forth: map('swing') },
      schedules: { knee: schedule, ankle: schedule },
      walk: WALK,
    },
  );
};

/** Strides of a straight leg of which the foot lies flat all through stance: hip height and speed follow in closed form. */
const STRIDE = 1.2;
const REACH = 0.35;
function straightWalk(t: number): Float64Array {
  const place = (t / STRIDE) % 1;
  const thigh = REACH * Math.cos(2 * Math.PI * place);
  const rate = (-2 * Math.PI * REACH * Math.sin(2 * Math.PI * place)) / STRIDE;
  const row = new Float64Array(12);
  row.fill(Number.NaN, INPUT.kneeSecond);
  row[INPUT.thigh] = thigh;
  row[INPUT.thighRate] = rate;
  row[INPUT.ankle] = -thigh;
  row[INPUT.load] = place < 0.5 ? 800 : 0;
  row[INPUT.elapsed] = T;
  return row;
}
/** The hip goes from one end of the leg's arc to the other while the foot lies flat. */
const TRUE_SPEED = (2 * (THIGH + SHANK) * Math.sin(REACH)) / (STRIDE / 2);

function run(of: ReturnType<typeof compiled>, seconds: number, state = controllerState(of), from = 0) {
  return Array.from({ length: Math.round(seconds / T) }, (_, k) => {
    const out = new Float64Array(OUTPUTS);
    controllerTick(of, state, straightWalk(from + k * T), out);
    return out;
  });
}

describe('CTL-SPEED maps and schedules by speed', () => {
  test('two equal ones are one, to the last bit of every torque, state and phase', () => {
    const [stack, alone] = [run(compiled(0.4, 0.4), 6), run(compiled(0.4, 0.4, true), 6)];
    expect(stack.some((out) => Math.abs(out[OUTPUT.kneeTorque]!) > 1)).toBe(true);
    expect(new Set(stack.map((out) => out[OUTPUT.state]!)).size).toBeGreaterThanOrEqual(3 - 1);
    stack.forEach((out, k) => {
      for (let i = 0; i < OUTPUT.speed; i++) expect(out[i]! - alone[k]![i]!).toBe(0);
    });
    expect(alone.at(-1)![OUTPUT.speed]).toBe(0);
  });

  test('half way between two speeds every number is the mean; at a speed of its own it is its own; beyond the ends the end', () => {
    const layers = compiled(0.3, 0.5).bySpeed!.maps[1]!;
    const [slow, fast] = layers.map(({ of }) => of);
    const live = liveMap(slow!);
    blendMap(live, layers, 1.2);
    const [mine, theirs, other] = [live, slow!, fast!].map(({ map }) => [
      map.full,
      map.peak,
      map.toeOff,
      map.finishRate,
      ...map.phase,
      ...map.bend,
      ...map.knee,
      ...map.ankle,
    ]);
    for (const [k, x] of mine!.entries())
      expect(Math.abs(x - (theirs![k]! + other![k]!) / 2)).toBeLessThan(1e-6 * (1 + Math.abs(x)));
    for (const [speed, end] of [
      [0.8, slow!],
      [0.1, slow!],
      [1.6, fast!],
      [9, fast!],
    ] as const) {
      blendMap(live, layers, speed);
      expect(live.map.knee).toEqual(end.map.knee);
      expect(live.map.phase).toEqual(end.map.phase);
      expect(live.pace).toBe(end.pace);
    }
  });

  test('a blend is C² over the phase: value and slope of the table meet from either side, by difference quotients', () => {
    const layers = compiled(0.3, 0.5).bySpeed!.maps[1]!;
    const live = liveMap(layers[0]!.of);
    blendMap(live, layers, 1.07);
    const { phase, bend } = live.map;
    const h = 1 / (phase.length - 1);
    for (let i = 1; i < phase.length - 1; i++) {
      // slope at the knot by the piece before and by the piece after
      const before = (phase[i]! - phase[i - 1]!) / h + (h / 6) * (bend[i - 1]! + 2 * bend[i]!);
      const after = (phase[i + 1]! - phase[i]!) / h - (h / 6) * (2 * bend[i]! + bend[i + 1]!);
      expect(Math.abs(before - after)).toBeLessThan(1e-4);
      expect(phase[i]!).toBeGreaterThan(phase[i - 1]!);
    }
    const out = new Float64Array(9);
    for (const s of [0.55, 0.7, 0.95]) {
      for (const k of [0, 1, 2]) trajectoryAt(live.map.knee, s + (k - 1) * 1e-3, out, 3 * k);
      expect(Math.abs((out[6]! - 2 * out[3]! + out[0]!) / 1e-6 - out[5]!)).toBeLessThan(
        1e-2 * (1 + Math.abs(out[5]!)),
      );
    }
  });

  test('at the latch the command begins where the joint is and as fast, whatever the speed', () => {
    const layers = compiled(0.3, 0.5).bySpeed!.maps[1]!;
    const live = liveMap(layers[0]!.of);
    for (const speed of [0.9, 1.2, 1.5]) {
      blendMap(live, layers, speed);
      const { map } = live;
      const state = swingState();
      const pose = { thigh: map.referenceOn, knee: 0.61, kneeRate: 2.5, ankle: -0.2, ankleRate: -1 };
      beginSwing(map, state, pose, live.pace);
      expect(state[SWING.knee]).toBe(pose.knee);
      expect(state[SWING.ankle]).toBe(pose.ankle);
      // a little of the thigh's way further, the joint has gone as its speed and the stride's own pace have it
      swingTick(map, state, map.referenceOn + 1e-4 * (map.full - map.referenceOn), 0.1, T);
      const slope = (state[SWING.knee]! - pose.knee) / (state[SWING.phase]! - map.toeOff);
      expect(Math.abs(slope / (pose.kneeRate / live.pace) - 1)).toBeLessThan(0.02);
    }
  });

  test('the speed of a leg whose foot lies flat comes out as its arc has it, moves by no more than is allowed, and stays', () => {
    const of = compiled(0.3, 0.5);
    const outputs = run(of, 8 * STRIDE);
    const speeds = [...new Set(outputs.map((out) => out[OUTPUT.speed]!))];
    const steps = speeds.slice(1).map((speed, k) => Math.abs(speed - speeds[k]!));
    expect(Math.max(...steps)).toBeLessThanOrEqual(0.3 + 1e-6);
    // load is known at the tick, so a stance is one tick short of half a stride
    expect(Math.abs(outputs.at(-1)![OUTPUT.speed]! - TRUE_SPEED)).toBeLessThan(0.01 * TRUE_SPEED);
    expect(outputs.at(-1)![OUTPUT.speedStatus]).toBe(SPEED_STATUS.read);
  });

  test('a stance without a thigh is refused and the last speed stays; what lies beyond the ends is said', () => {
    const of = compiled(0.3, 0.5);
    const state = controllerState(of);
    const before = run(of, 4 * STRIDE, state).at(-1)!;
    const out = new Float64Array(OUTPUTS);
    for (let k = 0; k < Math.round(STRIDE / T); k++) {
      const row = straightWalk(4 * STRIDE + k * T);
      if (k > 100 && k < 130) row[INPUT.thigh] = Number.NaN;
      controllerTick(of, state, row, out);
    }
    expect(out[OUTPUT.speed]).toBe(before[OUTPUT.speed]);
    expect(out[OUTPUT.speedStatus]).toBe(SPEED_STATUS['no number']);
    state.speed!.own[0] = 0.5;
    controllerTick(of, state, straightWalk(5 * STRIDE + 0.9), out);
    expect(out[OUTPUT.speedStatus]).toBe(SPEED_STATUS['below the slowest']);
  });

  test('a run that is copied goes on by itself, and the same', () => {
    const of = compiled(0.3, 0.5);
    const state = controllerState(of);
    run(of, 3.3 * STRIDE, state);
    const other = copiedState(of, state);
    const [a, b] = [run(of, STRIDE, state, 3.3 * STRIDE), run(of, STRIDE, other, 3.3 * STRIDE)];
    expect(b).toEqual(a);
  });
});
