import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { HOLD, holdState, holdTick } from '../control/hand-meters.ts';
import { SWING } from '../control/swing-tick.ts';
import { curveAt } from '../gait/curve.ts';
import {
  HAND,
  type HandSwing,
  handState,
  handSwing,
  handTick,
  liftFoot,
  recordedPlace,
  recordedPose,
} from './hand-swing.ts';
import { HAND_METHODS, type HandMethod } from './phase-methods.ts';
import { demonstratedThigh, swingDemonstration } from './swing-demonstration.ts';
import { swingFollow } from './swing-follow.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const DEG = Math.PI / 180;

function ready(method: HandMethod, task = 'walk-natural'): HandSwing {
  const of = handSwing(input, task, method);
  if ('openBecause' in of) throw new Error(of.openBecause);
  return of;
}
/** From toe-off along the stride's own thigh at its own pace up to a place. */
function led(of: HandSwing, to: number, atPlace = (_: number) => Number.NaN) {
  const state = handState(of);
  const { stance, strideTime } = of.plan.stride;
  const n = Math.floor(((to - stance) * strideTime) / of.dt);
  for (let k = 0; k <= n; k++) {
    const place = stance + (k * of.dt) / strideTime;
    const { value, slope } = curveAt(of.plan.own.thigh, 100 * (place % 1));
    handTick(of, state, value, (100 * slope) / strideTime, atPlace(place % 1));
  }
  return state;
}

describe('a thigh led along the recorded stride', () => {
  test('latched, the commands are those of the study’s own swing, delays aside', () => {
    const of = ready('latch');
    const follow = swingFollow(input, 'walk-natural');
    if ('openBecause' in follow) throw new Error(follow.openBecause);
    const k = follow.course.place.findIndex((place) => place > 0.75);
    const state = led(of, 0.75);
    // three ticks of delay are a third of a per cent of the stride
    expect(Math.abs(state.says[HAND.phase]! - follow.course.phase[k]!)).toBeLessThan(0.005);
    expect(Math.abs(state.says[HAND.knee]! - follow.course.knee[k]!)).toBeLessThan(2 * DEG);
  });

  test.each(HAND_METHODS)('%s finds where the stride is, within three hundredths', (method) => {
    for (const place of [0.66, 0.72, 0.78]) {
      const state = led(ready(method), place);
      expect(Math.abs(state.says[HAND.phase]! - place)).toBeLessThan(0.03);
    }
  });

  test('in stance the latched map says no phase and the leg stands as recorded; the next toe-off latches anew', () => {
    const of = ready('latch');
    const { stance } = of.plan.stride;
    const state = led(of, 1 + stance - 0.1, (place) => place);
    expect(state.says[HAND.phase]).toBeNaN();
    expect(state.says[HAND.knee]).toBeCloseTo(curveAt(of.plan.own.knee, 100 * (stance - 0.1)).value, 2);
    const next = led(of, 1.75, (place) => place);
    expect(Math.abs(next.says[HAND.phase]! - 0.75)).toBeLessThan(0.01);
  });
});

describe('held half way', () => {
  const held = (method: HandMethod) => {
    const of = ready(method);
    const state = led(of, 0.72);
    const { thigh } = recordedPose(of, 0.72);
    const hold = holdState();
    const knees: number[] = [];
    for (let k = 0; k < 3000; k++) {
      handTick(of, state, thigh, 0, Number.NaN);
      holdTick(hold, state.says[HAND.phase]!, 0, of.dt);
      knees.push(state.says[HAND.knee]!);
    }
    return { drift: hold[HOLD.drift]!, knees };
  };
  test('the latched map stays, to a thousandth of a stride over three seconds', () => {
    const { drift, knees } = held('latch');
    expect(drift).toBeLessThanOrEqual(1e-3);
    expect(Math.abs(knees.at(-1)! - knees[400]!)).toBeLessThan(0.1 * DEG);
  });
  test('the oscillator walks on: a tenth of a stride and more, and the knee with it through most of its range', () => {
    const { drift, knees } = held('oscillator');
    expect(drift).toBeGreaterThan(0.1);
    expect(Math.max(...knees) - Math.min(...knees)).toBeGreaterThan(40 * DEG);
  });
  test('the phase plane stands once the speed is gone, on the angle alone: 0 or half a turn', () => {
    const of = ready('plane');
    const { drift } = held('plane');
    expect(drift).toBeLessThanOrEqual(1e-3);
    const state = handState(of);
    const { thigh } = recordedPose(of, 0.72);
    handTick(of, state, thigh, 0, Number.NaN);
    // at no speed it is 0 or π of the plane, whichever side of the middle the thigh is
    const away = (thigh > of.centre ? 0 : Math.PI) - of.names.start;
    const turn = Math.atan2(-Math.sin(away), -Math.cos(away)) + Math.PI;
    const { told } = of.names;
    const named = told.findIndex((said) => said >= turn) / told.length;
    expect(state.says[HAND.phase]).toBeCloseTo(named < 0 ? 1 : named, 2);
    expect(Math.abs(state.says[HAND.phase]! - 0.72)).toBeGreaterThan(0.05);
  });
});

describe('a sensor that is unplugged', () => {
  test.each(HAND_METHODS)('%s: phase, knee and ankle stay, are numbers, and the fault is shown', (method) => {
    const of = ready(method);
    const state = led(of, 0.7);
    const before = state.says.slice(0, 3);
    for (let k = 0; k < 500; k++)
      handTick(of, state, k % 2 === 0 ? Number.NaN : 0.1, k % 2 === 1 ? Number.NaN : 1, Number.NaN);
    expect(state.says[HAND.fault]).toBe(1);
    expect([...state.says.slice(0, 3)]).toEqual([...before]);
    const { thigh } = recordedPose(of, 0.7);
    handTick(of, state, thigh, 0, Number.NaN);
    expect(state.says[HAND.fault]).toBe(0);
    expect([...state.says].every(Number.isFinite)).toBe(true);
  });
});

test('lifted with the thigh already forward the latched map says so and stays; further back it leads again', () => {
  const of = ready('latch');
  const state = led(of, 0.72);
  liftFoot(of, state, of.map.peak - 10 * DEG);
  handTick(of, state, of.map.peak, 0, Number.NaN);
  expect(state.says[HAND.fault]).toBe(2);
  const knee = state.says[HAND.knee]!;
  liftFoot(of, state, of.map.referenceOn);
  expect(state.swing[SWING.on]).toBe(of.map.referenceOn);
  expect(state.says[HAND.fault]).toBe(0);
  expect(state.says[HAND.knee]).toBeCloseTo(knee, 12);
});

test('the recorded place of a thigh is the inverse of the stride’s own thigh on its way forward', () => {
  const of = ready('latch');
  for (const place of [0.63, 0.7, 0.76, 0.82])
    expect(recordedPlace(of, recordedPose(of, place).thigh)).toBeCloseTo(place, 4);
  expect(recordedPlace(of, -1)).toBe(of.plan.stride.stance);
  expect(recordedPlace(of, 2)).toBe(of.ownPeak);
});

test('the demonstration goes two strides, stands half way for two seconds and jumps nowhere', () => {
  const of = ready('latch');
  const shown = swingDemonstration(of);
  const { pace, lasts, heldFrom, heldTo } = shown;
  const { stance, strideTime } = of.plan.stride;
  expect(pace(0).x).toBe(stance);
  expect(pace(lasts).x).toBeCloseTo(stance + 2, 12);
  expect(heldTo - heldFrom).toBe(2);
  let gone = stance;
  const dt = 1e-3;
  for (let t = 0; t < lasts; t += dt) gone += pace(t + dt / 2).rate * dt;
  expect(gone).toBeCloseTo(stance + 2, 2);
  const { thigh } = recordedPose(of, pace(heldFrom + 1).x - 1);
  expect(thigh).toBeCloseTo((of.ownWay[0]! + of.ownWay.at(-1)!) / 2, 4);
  expect(lasts).toBeCloseTo(2 * strideTime + 2, 12);
  for (const t of [0.1, 0.7, heldFrom + 0.5, lasts - 0.2]) {
    const now = demonstratedThigh(of, shown, t);
    const [before, after] = [t - 1e-5, t + 1e-5].map((at) => demonstratedThigh(of, shown, at).thigh);
    expect(now.rate).toBeCloseTo((after! - before!) / 2e-5, 4);
    expect(now.thigh).toBeCloseTo(recordedPose(of, now.place).thigh, 12);
  }
});

test.each([
  ['stair-down', 'too short a way for a phase'],
  ['run-2p5', 'no thigh angle'],
])('%s is not ready, and why', (task, why) => {
  const of = handSwing(input, task, 'latch');
  expect('openBecause' in of && of.openBecause).toContain(why);
});
