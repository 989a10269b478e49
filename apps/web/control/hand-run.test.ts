import { HAND, HAND_THIGH, type HandMethod, type HandSwing, handSwing } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { advance, demonstrate, handRun, lead, lift, recordedNow, rests, STRIP_SECONDS } from './hand-run.ts';

const { input } = await openStudy(new URL('../../../examples/tern', import.meta.url).pathname);
const DEG = Math.PI / 180;
function ready(method: HandMethod): HandSwing {
  const of = handSwing(input, 'walk-natural', method);
  if ('openBecause' in of) throw new Error(of.openBecause);
  return of;
}
const half = ({ ownWay }: HandSwing) => (ownWay[0]! + ownWay.at(-1)!) / 2;

test('frames of any length give the ticks of their time, no more after a sleep', () => {
  const run = handRun(ready('latch'));
  let ticks = 0;
  for (const frame of [0.0167, 0.0333, 0.0004, 0.0166]) ticks += advance(run, frame);
  expect(ticks).toBe(67);
  expect(advance(run, 3600)).toBe(250);
});

test('led half way and held, the knee stays and the hold says so; the oscillator walks on', () => {
  for (const [method, moves] of [
    ['latch', false],
    ['oscillator', true],
  ] as const) {
    const of = ready(method);
    const run = handRun(of);
    lead(run, half(of));
    for (let k = 0; k < 20; k++) advance(run, 0.1);
    expect(run.thigh[HAND_THIGH.angle]).toBeCloseTo(half(of), 6);
    expect(run.held!.time).toBeGreaterThan(1.5);
    if (moves) expect(run.held!.drift).toBeGreaterThan(0.1);
    else expect(run.held!.drift).toBeLessThanOrEqual(1e-3);
    expect(run.held!.finished).toBe(false);
  }
});

test('held at its peak the latched swing finishes by itself, and the hold says that too', () => {
  const of = ready('latch');
  const run = handRun(of);
  lead(run, of.map.peak);
  for (let k = 0; k < 20; k++) advance(run, 0.1);
  expect(run.state.says[HAND.phase]).toBeCloseTo(1, 6);
  expect(run.held!.finished).toBe(true);
  lead(run, of.map.referenceOn - 10 * DEG);
  for (let k = 0; k < 10; k++) advance(run, 0.1);
  expect(run.state.says[HAND.phase]).toBeCloseTo(of.map.toeOff, 6);
  expect(run.held!.finished).toBe(false);
});

test('a slow and a fast pass are compared: the map does not care, the phase plane does', () => {
  const warp = (method: HandMethod) => {
    const of = ready(method);
    const run = handRun(of);
    for (const seconds of [1.2, 0.45]) {
      lead(run, of.map.referenceOn - 6 * DEG);
      for (let k = 0; k < 8; k++) advance(run, 0.1);
      const frames = Math.round(seconds * 60);
      for (let k = 1; k <= frames; k++) {
        lead(run, of.map.referenceOn + ((of.map.peak + 4 * DEG - of.map.referenceOn) * k) / frames);
        advance(run, 1 / 60);
      }
      for (let k = 0; k < 3; k++) advance(run, 0.1);
    }
    return run.pass.compared!;
  };
  expect(warp('latch').warp).toBeLessThanOrEqual(1e-3);
  expect(warp('plane').warp).toBeGreaterThan(0.01);
  expect(warp('latch').later).toBeGreaterThan(1.5 * warp('latch').earlier);
});

test('unplugged, the leg stays as it is while the thigh goes on; plugged in again it follows', () => {
  const of = ready('latch');
  const run = handRun(of);
  lead(run, half(of));
  for (let k = 0; k < 6; k++) advance(run, 0.1);
  const knee = run.state.says[HAND.knee];
  run.plugged = false;
  lead(run, of.map.referenceOn);
  for (let k = 0; k < 6; k++) advance(run, 0.1);
  expect(run.state.says[HAND.knee]).toBe(knee);
  expect(run.state.says[HAND.fault]).toBe(1);
  expect(run.strip.heard.at(-1)).toBeNaN();
  expect(run.strip.thigh.at(-1)).toBeCloseTo(of.map.referenceOn, 3);
  lift(run);
  expect(run.state.says[HAND.fault]).toBe(2); // a toe-off that nobody saw is not latched
  run.plugged = true;
  lift(run);
  for (let k = 0; k < 6; k++) advance(run, 0.1);
  expect(run.state.says[HAND.fault]).toBe(0);
});

test('the demonstration ends by itself at a toe-off and leaves the leg to the hand', () => {
  const of = ready('latch');
  const run = handRun(of);
  demonstrate(run);
  const { lasts, heldFrom } = run.shown!.demo;
  for (let t = 0; t < heldFrom + 1; t += 0.05) advance(run, 0.05);
  expect(Math.abs(recordedNow(run).knee - run.state.says[HAND.knee]!)).toBeLessThan(3 * DEG);
  expect(run.held!.drift).toBeLessThanOrEqual(1e-3);
  for (let t = 0; t < lasts; t += 0.05) advance(run, 0.05);
  expect(run.shown).toBeUndefined();
  expect(run.place).toBeNaN();
  expect(run.target).toBeCloseTo(of.ownWay[0]!, 2);
});

test('it rests once nothing has moved for as long as the strip is', () => {
  const run = handRun(ready('latch'));
  advance(run, 0.1);
  expect(rests(run)).toBe(false);
  for (let t = 0; t < STRIP_SECONDS + 0.5; t += 0.1) advance(run, 0.1);
  expect(rests(run)).toBe(true);
  lead(run, 0.2);
  expect(rests(run)).toBe(false);
});
