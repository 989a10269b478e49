import { describe, expect, test } from 'vitest';
import { randomStream } from '../numeric/random.ts';
import { latchCourse } from './phase-course.ts';
import { type SwingMap, swingMap } from './swing-map.ts';
import { beginSwing, SWING, swingState, swingTick } from './swing-tick.ts';
import { pointOf } from './test-trajectory.ts';
import { type ThighOverStride, timeWarpError } from './time-warp.ts';
import { periodicTrajectory } from './trajectory.ts';

const DEG = Math.PI / 180;
const sampled = (f: (s: number) => number) =>
  periodicTrajectory(
    Array.from({ length: 201 }, (_, k) => f(k / 200)),
    6,
  );
const TURN = 2 * Math.PI;
// An invented walk: the thigh is furthest back at 50 % and peaks at 89 %; the knee still has some 17° to go there.
const thigh = sampled((s) => 5 * DEG + 20 * DEG * Math.cos(TURN * s) - 5 * DEG * Math.sin(2 * TURN * s));
const knee = sampled(
  (s) => DEG * (24 - 4 * Math.cos(TURN * s) - 19 * Math.sin(TURN * s) - 13 * Math.cos(2 * TURN * s)),
);
const ankle = sampled((s) => DEG * (3 * Math.cos(TURN * s) + 8 * Math.sin(2 * TURN * s)));
const [STANCE, T, DT] = [0.62, 1.1, 1e-3];
const made = (more: object = {}): SwingMap =>
  swingMap({ thigh, knee, ankle, stance: STANCE, strideTime: T, finish: true, path: 'tasks.x', ...more });
const map = made();
const over: ThighOverStride = (x) => pointOf(thigh, x - Math.floor(x));
const poseAt = (s: number, offset = 0) => ({
  thigh: pointOf(thigh, s).value,
  knee: pointOf(knee, s).value + offset,
  kneeRate: pointOf(knee, s).slope / T,
  ankle: pointOf(ankle, s).value,
  ankleRate: pointOf(ankle, s).slope / T,
});

/** Swing along a path of thigh angles, from toe-off; the state after each tick. */
function swung(
  of: SwingMap,
  path: readonly { value: number; rate: number }[],
  from = swingState(),
): Float64Array[] {
  const state = from;
  if (from[SWING.phase] === 0) beginSwing(of, state, poseAt(STANCE), 1 / T);
  return path.map(({ value, rate }) => {
    swingTick(of, state, value, rate, DT);
    return Float64Array.from(state);
  });
}
const along = (to: number) =>
  Array.from({ length: Math.round(((to - STANCE) * T) / DT) }, (_, k) => {
    const { value, slope } = pointOf(thigh, STANCE + (k * DT) / T);
    return { value, rate: slope / T };
  });
/** Phase where the thigh has gone this share of the way that drives it. */
const placeOf = (share: number): number => {
  const on = pointOf(thigh, STANCE).value;
  let s = STANCE;
  while (pointOf(thigh, s).value < on + share * (map.full - on)) s += 1e-5;
  return s;
};

describe('the reference thigh', () => {
  test('gives back the stride phase it was made from, up to where it leads; the finish arrives at 1', () => {
    const states = swung(map, along(1.03));
    states.forEach((state, k) => {
      const truth = STANCE + (k * DT) / T;
      // the soft corner costs a quarter of its width; elsewhere a tick and the table
      const allowed = truth > 1 - 0.02 ? 0.0061 : 1.5e-3;
      expect(Math.abs(state[SWING.phase]! - Math.min(1, truth)), `at ${truth}`).toBeLessThan(allowed);
    });
    expect(states.at(-1)![SWING.phase]).toBeCloseTo(1, 3);
  });

  test('command and its speed belong together: the speed is the command’s own difference', () => {
    const states = swung(map, along(1));
    for (let k = 2; k < states.length - 1; k++) {
      const [a, b] = [states[k - 1]!, states[k + 1]!];
      if (a[SWING.finish] === 0 && b[SWING.finish]! > 0) continue;
      if (states[k]![SWING.finish] === 0 && b[SWING.finish]! > 0) continue;
      if (a[SWING.finish] === 0 && states[k]![SWING.finish]! > 0) continue;
      for (const [value, rate] of [
        [SWING.knee, SWING.kneeRate],
        [SWING.ankle, SWING.ankleRate],
      ] as const)
        expect(Math.abs(states[k]![rate]! - (b[value]! - a[value]!) / (2 * DT)), `tick ${k}`).toBeLessThan(
          0.05,
        );
    }
  });

  test('the phase never falls on the way, over the table or into the finish', () => {
    const states = swung(map, along(1));
    states.slice(1).forEach((s, k) => {
      expect(s[SWING.phase]).toBeGreaterThanOrEqual(states[k]![SWING.phase]!);
    });
  });
});

describe('hold and release', () => {
  test.each([0.1, 0.3, 0.5, 0.7, 0.9])(
    'held 3 s at %d of the way nothing moves, and on release it goes on',
    (share) => {
      const state = swingState();
      const s = placeOf(share);
      const path = along(s);
      swung(map, path, state);
      const held = state[SWING.phase]!;
      const { value } = path.at(-1)!;
      const still = swung(
        map,
        Array.from({ length: 3000 }, () => ({ value, rate: 0 })),
        state,
      );
      for (const tick of still) {
        expect(Math.abs(tick[SWING.phase]! - held)).toBeLessThanOrEqual(1e-3);
        expect(Math.abs(tick[SWING.kneeRate]!)).toBe(0);
      }
      // the rest of the path, as if there had been no pause
      const rest = Array.from({ length: Math.round(((1.03 - s) * T) / DT) }, (_, k) => {
        const { value: there, slope } = pointOf(thigh, s + (k * DT) / T);
        return { value: there, rate: slope / T };
      });
      expect(swung(map, rest, state).at(-1)![SWING.phase]).toBeCloseTo(1, 3);
    },
  );

  test('beyond where the thigh leads the finish goes on by itself, and off it does not', () => {
    const value = map.peak;
    const hold = Array.from({ length: 1000 }, () => ({ value, rate: 0 }));
    expect(swung(map, [...along(map.peakPhase), ...hold]).at(-1)![SWING.phase]).toBeCloseTo(1, 6);
    const off = made({ finish: false });
    const stays = swung(off, [...along(map.peakPhase), ...hold]).at(-1)!;
    expect(stays[SWING.phase]).toBeCloseTo(off.fullPhase, 9);
    expect(Math.abs(stays[SWING.kneeRate]!)).toBe(0);
  });

  test('a thigh that goes back takes the leg back, also out of the finish, no faster than three strides a second', () => {
    const state = swingState();
    swung(map, along(0.97), state);
    expect(state[SWING.finish]).toBeGreaterThan(0);
    const way = map.full - map.referenceOn;
    const back = Array.from({ length: 900 }, (_, k) => ({
      value: map.full - ((way * 0.6) / 900) * k,
      rate: (-way * 0.6) / 0.9,
    }));
    let before = state[SWING.phase]!;
    for (const tick of swung(map, back, state)) {
      expect(before - tick[SWING.phase]!).toBeLessThanOrEqual(3 * DT + 1e-12);
      before = tick[SWING.phase]!;
    }
    expect(state[SWING.finish]).toBe(0);
    // 0.4 of the way gone, and the play on top of it
    expect(state[SWING.play]).toBeCloseTo(0.4 + map.play, 2);
  });

  test('a jump of the thigh is caught up with at three strides a second', () => {
    const state = swingState();
    swung(map, along(placeOf(0.2)), state);
    const from = state[SWING.phase]!;
    swung(
      map,
      Array.from({ length: 10 }, () => ({ value: map.full - 0.01, rate: 0 })),
      state,
    );
    expect(state[SWING.phase]! - from).toBeCloseTo(10 * 3 * DT, 12);
    expect(state[SWING.phaseRate]).toBe(3);
  });
});

test('the thigh’s path decides, not its pace: warp error at most a thousandth, at 1 ms', () => {
  const still = made({ finish: false });
  const walk = { stance: STANCE, strideTime: T, dt: DT, from: 0, strides: 4 };
  const error = timeWarpError((signal) => latchCourse(still, signal), over, walk);
  expect(error).toBeGreaterThan(0);
  expect(error).toBeLessThan(1e-3);
  // and it is sampling: ten times as many ticks leave a tenth
  const finer = timeWarpError((signal) => latchCourse(still, signal), over, { ...walk, dt: DT / 10 });
  expect(finer).toBeLessThan(error / 4);
});

test('noise of the thigh comes out as large as the table makes it, and held it moves the phase once only', () => {
  const random = randomStream(17);
  const limit = 0.3 * DEG;
  const noisy = () => Math.max(-limit, Math.min(limit, 0.1 * DEG * random.normal()));
  const way = map.full - map.referenceOn;
  // S is steepest where the thigh is slowest: 1/θ′ of the reference at either end of its way
  const steepest = Math.max(...[STANCE, map.fullPhase].map((s) => way / pointOf(thigh, s).slope));
  const path = along(placeOf(0.9));
  const [clean, disturbed] = [
    swung(map, path),
    swung(
      map,
      path.map((p) => ({ ...p, value: p.value + noisy() })),
    ),
  ];
  clean.forEach((state, k) => {
    const off = Math.abs(disturbed[k]![SWING.phase]! - state[SWING.phase]!);
    expect(off).toBeLessThan((1.2 * steepest * limit) / way);
  });
  const state = swingState();
  swung(map, along(placeOf(0.5)), state);
  const { value } = along(placeOf(0.5)).at(-1)!;
  const held = swung(
    map,
    Array.from({ length: 3000 }, () => ({ value: value + noisy(), rate: 0 })),
    state,
  );
  held.slice(1).forEach((tick, k) => {
    expect(tick[SWING.phase]).toBeGreaterThanOrEqual(held[k]![SWING.phase]!);
  });
  expect(held.at(-1)![SWING.phase]! - held[0]![SWING.phase]!).toBeLessThan((2.4 * steepest * limit) / way);
});

test('the pose at toe-off is taken up without a step and blended out over the phase, not over time', () => {
  const state = swingState();
  beginSwing(map, state, poseAt(STANCE, 6 * DEG), 1 / T);
  const [first] = swung(map, along(STANCE + 0.002), state);
  expect(Math.abs(first![SWING.knee]! - pointOf(knee, STANCE).value - 6 * DEG)).toBeLessThan(0.2 * DEG);
  const s = STANCE + map.blend / 2;
  const path = along(s);
  swung(map, path, state);
  const half = state[SWING.knee]! - pointOf(knee, state[SWING.phase]!).value;
  // e_0·(1 − 10/8 + 15/16 − 6/32) = e_0/2
  expect(half / (6 * DEG)).toBeCloseTo(0.5, 1);
  swung(
    map,
    Array.from({ length: 500 }, () => ({ value: path.at(-1)!.value, rate: 0 })),
    state,
  );
  expect(state[SWING.knee]! - pointOf(knee, state[SWING.phase]!).value).toBeCloseTo(half, 3);
});

describe('what cannot be', () => {
  test.each([
    [Number.NaN, 0],
    [0.1, Number.NaN],
    [Number.POSITIVE_INFINITY, 0],
  ])(
    'thigh %d, rate %d: the leg stays where it is and says so; it goes on when the sensor does',
    (value, rate) => {
      const state = swingState();
      swung(map, along(0.72), state);
      const before = Float64Array.from(state);
      swingTick(map, state, value, rate, DT);
      expect(state[SWING.fault]).toBe(1);
      for (const place of [SWING.phase, SWING.knee, SWING.ankle, SWING.play])
        expect(state[place]).toBe(before[place]);
      for (const place of [SWING.phaseRate, SWING.kneeRate, SWING.ankleRate]) expect(state[place]).toBe(0);
      expect(state.every(Number.isFinite)).toBe(true);
      swingTick(map, state, pointOf(thigh, 0.73).value, 2, DT);
      expect(state[SWING.fault]).toBe(0);
      expect(state[SWING.phase]).toBeGreaterThan(before[SWING.phase]!);
    },
  );

  test('a foot that leaves the ground with the thigh already forward stays, and says so', () => {
    const state = swingState();
    beginSwing(map, state, { ...poseAt(STANCE), thigh: map.peak - 14.9 * DEG }, 1 / T);
    swingTick(map, state, map.peak, 1, DT);
    expect(state[SWING.fault]).toBe(2);
    expect(state[SWING.phase]).toBe(STANCE);
    beginSwing(map, state, { ...poseAt(STANCE), thigh: map.peak - 15.1 * DEG }, 1 / T);
    expect(state[SWING.fault]).toBe(0);
  });

  test.each(['thigh', 'knee', 'kneeRate', 'ankle', 'ankleRate'])(
    'toe-off with %s that is no number: the leg stays, whatever comes, until the next',
    (name) => {
      const state = swingState();
      beginSwing(map, state, { ...poseAt(STANCE), [name]: Number.NaN }, 1 / T);
      expect(state[SWING.fault]).toBe(2);
      for (const value of [Number.NaN, 0, map.peak]) {
        swingTick(map, state, value, 1, DT);
        expect(state[SWING.fault]).toBe(2);
        expect(state[SWING.phase]).toBe(STANCE);
        expect(state.every(Number.isFinite)).toBe(true);
      }
      expect(state[SWING.knee]).toBeCloseTo(pointOf(knee, STANCE).value, 12);
      beginSwing(map, state, poseAt(STANCE), 1 / T);
      expect(state[SWING.fault]).toBe(0);
    },
  );

  test('a thigh that goes too short a way or turns back is refused in words', () => {
    const small = thigh.map((c, k) => (k === 1 ? c : c / 3));
    expect(() => made({ thigh: small })).toThrow(
      /^tasks\.x: From toe-off to its peak the thigh moves 1\d\.\d°, too short/,
    );
    expect(() => made({ stance: 0.4 })).toThrow(
      /^tasks\.x: At 40 % of the stride the thigh moves back on its way from toe-off to its peak/,
    );
  });
});
