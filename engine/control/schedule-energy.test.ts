import { expect, test } from 'vitest';
import { scheduleEnergy } from './schedule-energy.ts';

const filled = (n: number, of: (i: number) => number) => Float64Array.from({ length: n }, (_, i) => of(i));

test('CTL-ENERGY-1: a spring held 0.1 rad from its rest and made stiffer from 100 to 300 N·m/rad takes ½·200·0.01 = 1 J', () => {
  for (const n of [2, 101]) {
    const share = (i: number) => i / (n - 1);
    const { injected, given, taken, dissipated, delivered, storedFirst, storedLast } = scheduleEnergy({
      time: filled(n, share),
      angle: filled(n, () => 0.1),
      velocity: filled(n, () => 0),
      stiffness: filled(n, (i) => 100 + 200 * share(i)),
      offset: filled(n, () => 0),
      damping: filled(n, () => 5),
    });
    expect(injected).toBeCloseTo(1, 12);
    expect(given).toBeCloseTo(1, 12);
    expect(taken).toBe(0);
    expect([dissipated, Math.abs(delivered)]).toEqual([0, 0]);
    expect(storedLast - storedFirst).toBeCloseTo(1, 12);
  }
});

/** One swing of a joint under a schedule that moves all three numbers. */
function swing(n: number) {
  const t = filled(n, (i) => i / (n - 1));
  return {
    time: t,
    angle: t.map((x) => 0.1 + 0.2 * Math.sin(5 * x)),
    velocity: t.map((x) => Math.cos(5 * x)),
    stiffness: t.map((x) => 150 + 80 * Math.sin(3 * x)),
    offset: t.map((x) => 10 - 25 * x),
    damping: t.map((x) => 1 + x),
  };
}

test('what is put in is stored, dissipated or delivered, and what is left over falls with the square of the step', () => {
  const left = (n: number) => {
    const { injected, dissipated, delivered, storedFirst, storedLast } = scheduleEnergy(swing(n));
    return Math.abs(injected - dissipated - delivered - (storedLast - storedFirst));
  };
  expect(left(1001)).toBeLessThan(1e-4);
  expect(left(101) / left(201)).toBeCloseTo(4, 1);
});

test('power put in is ½·K̇·e² − K·e·θ̇_eq, integrated as it stands', () => {
  const n = 20001;
  const { time, angle, stiffness: K, offset: c } = swing(n);
  let sum = 0;
  for (let i = 0; i < n; i++) {
    const rest = c[i]! / K[i]!;
    const e = angle[i]! - rest;
    const rise = 240 * Math.cos(3 * time[i]!);
    const drift = (-25 - rest * rise) / K[i]!;
    sum += ((i === 0 || i === n - 1 ? 0.5 : 1) * (0.5 * rise * e * e - K[i]! * e * drift)) / (n - 1);
  }
  expect(scheduleEnergy(swing(n)).injected).toBeCloseTo(sum, 6);
});

test('a fixed spring and damper puts in nothing', () => {
  const fixed = { ...swing(51), stiffness: filled(51, () => 200), offset: filled(51, () => 20) };
  const { given, taken } = scheduleEnergy(fixed);
  expect([given, taken]).toEqual([0, 0]);
});
