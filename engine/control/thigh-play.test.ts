import { expect, test } from 'vitest';
import { randomStream } from '../numeric/random.ts';
import { LEAST_THIGH_RANGE, playPhase, requireThighRange, thighShare } from './thigh-play.ts';

const DEG = Math.PI / 180;
const [ON, PEAK, PLAY] = [-8 * DEG, 25 * DEG, 0.12];
const run = (thighs: readonly number[], from = 0): number[] => {
  let s = from;
  return thighs.map((thigh) => {
    s = playPhase(s, thighShare(thigh, ON, PEAK), PLAY);
    return s;
  });
};

// Worked by hand from s ← max(r, min(s, r + w)): 33° of way, 0.12·33 = 3.96° of play.
test('CTL-PH-2 there, over the peak, back through the play and there again', () => {
  const thighs = [-8, -6, -2, 4, 10, 16, 20, 23, 25, 26, 25, 23, 21, 20, 14, 8, 12, 24];
  const wanted = [
    ...[0, 2 / 33, 6 / 33, 12 / 33, 18 / 33, 24 / 33, 28 / 33, 31 / 33, 1, 1, 1, 1],
    ...[29 / 33 + 0.12, 28 / 33 + 0.12, 22 / 33 + 0.12, 16 / 33 + 0.12, 20 / 33, 32 / 33],
  ];
  run(thighs.map((t) => t * DEG)).forEach((s, k) => {
    expect(s).toBeCloseTo(wanted[k]!, 12);
  });
});

test('any path, however fast or slow, ends at one phase', () => {
  const path = Array.from(
    { length: 400 },
    (_, k) => 10 * DEG + 14 * DEG * Math.sin(k / 23) - 6 * DEG * Math.cos(k / 7),
  );
  const slowly = path.flatMap((thigh, k) =>
    k === 0
      ? [thigh]
      : Array.from({ length: 10 }, (_, i) => path[k - 1]! + ((thigh - path[k - 1]!) * (i + 1)) / 10),
  );
  const [fast, slow] = [run(path), run(slowly)];
  fast.forEach((s, k) => {
    expect(Math.abs(s - slow[10 * k]!)).toBeLessThan(1e-12);
  });
});

test('as the thigh goes forward the phase never falls, as it goes back it never rises', () => {
  const random = randomStream(3);
  let [s, thigh] = [0.3, 0];
  for (let k = 0; k < 2000; k++) {
    const next = thigh + 0.02 * random.normal();
    const moved = playPhase(s, thighShare(next, ON, PEAK), PLAY);
    if (next > thigh) expect(moved).toBeGreaterThanOrEqual(s);
    else expect(moved).toBeLessThanOrEqual(s);
    [s, thigh] = [moved, next];
  }
});

test('tremor within the play moves the phase once, to its largest, and never on', () => {
  const random = randomStream(5);
  const held = Array.from(
    { length: 3000 },
    () => 10 * DEG + 0.2 * DEG * Math.max(-3, Math.min(3, random.normal())),
  );
  const s = run(held, 18 / 33);
  expect(s.at(-1)! - 18 / 33).toBeLessThanOrEqual(0.6 / 33 + 1e-12);
  expect(s.at(-1)).toBe(Math.max(...held.map((t) => thighShare(t, ON, PEAK))));
});

test('a thigh 3° off from toe-off on changes the slope only, by 3° in the way', () => {
  const slope = (off: number) =>
    thighShare(10 * DEG + off, ON + off, PEAK) - thighShare(9 * DEG + off, ON + off, PEAK);
  for (const off of [-3, 3]) expect(slope(off * DEG) / slope(0)).toBeCloseTo(33 / (33 - off), 12);
});

test('too short a way is refused in words', () => {
  expect(() => requireThighRange(ON, ON + LEAST_THIGH_RANGE, 'tasks.a')).not.toThrow();
  expect(() => requireThighRange(19.8 * DEG, 28.3 * DEG, 'tasks.stair-down')).toThrow(
    'tasks.stair-down: From toe-off to its peak the thigh moves 8.5°, too short a way for a phase, which needs 15°. Time this swing by another signal, or take a task in which the thigh swings further.',
  );
});
