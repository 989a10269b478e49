import { describe, expect, test } from 'vitest';
import { HOLD, holdState, holdTick, passMeter, passTick } from './hand-meters.ts';
import { derivativePhase } from './phase-plane.ts';

const DT = 1e-3;

describe('hold', () => {
  test('a phase that walks on at r a second for t seconds has gone r·t, over the turn from 1 to 0 too', () => {
    const state = holdState();
    const rate = 0.9;
    for (let k = 0; k <= 2000; k++) holdTick(state, (0.3 + rate * k * DT) % 1, 0, DT);
    expect(state[HOLD.time]).toBeCloseTo(2.001, 9);
    expect(state[HOLD.drift]).toBeCloseTo(rate * 2, 6);
  });

  test('what moves there and back has its largest way told; a thigh that moves ends the hold', () => {
    const state = holdState();
    for (let k = 0; k < 3000; k++) holdTick(state, 0.5 + 0.01 * Math.sin((2 * Math.PI * k) / 500), 0, DT);
    expect(state[HOLD.drift]).toBeCloseTo(0.01, 4);
    holdTick(state, 0.5, 1, DT);
    expect(state[HOLD.time]).toBe(0);
    expect(state[HOLD.drift]).toBe(0);
  });
});

/** Forward over the whole way at each of these speeds in turn, shares a second; back between. */
function passes(speeds: readonly number[], phaseOf: (share: number, speed: number) => number) {
  const meter = passMeter();
  for (const speed of speeds) {
    for (let share = 0; share < 1.1; share += speed * DT) passTick(meter, share, phaseOf(share, speed), DT);
    for (let share = 1.1; share > -0.05; share -= 2 * DT) passTick(meter, share, phaseOf(share, -2), DT);
  }
  return meter;
}

describe('pace', () => {
  test('a phase of the angle alone does not care; one pass is compared with nothing', () => {
    const phase = (share: number) => 0.6 + 0.2 * share ** 2;
    expect(passes([1], phase).compared).toBeUndefined();
    const { compared } = passes([1, 4], phase);
    // both noted on a straight line between ticks: off by the chord, speed²·dt²·|s″|/8
    expect(compared!.warp).toBeLessThan((4 * DT) ** 2 * 0.4);
    expect(compared!.earlier).toBeCloseTo(1, 6);
    expect(compared!.later).toBeCloseTo(4, 6);
  });

  test('of a phase plane it is the closed form, atan2 at one speed less atan2 at the other', () => {
    const [centre, omega, range] = [0.12, 5.7, 0.5];
    const phase = (share: number, speed: number) =>
      derivativePhase(share * range, speed * range, centre, omega) / (2 * Math.PI);
    const { compared } = passes([0.5, 3, 1.5, 0.8], phase);
    const at = (speed: number) => (share: number) =>
      Math.atan2((-speed * range) / omega, share * range - centre) / (2 * Math.PI);
    const levels = Array.from({ length: 15 }, (_, k) => 0.25 + 0.05 * k);
    const most = Math.max(...levels.map((share) => Math.abs(at(1.5)(share) - at(0.8)(share))));
    expect(compared!.warp).toBeCloseTo(most, 4);
    expect(most).toBeGreaterThan(0.01);
  });

  test('a thigh that only goes back a little begins no pass', () => {
    const meter = passMeter();
    for (const [from, to] of [
      [0, 1],
      [1, 0.3],
      [0.3, 1],
    ] as const)
      for (let k = 0; k <= 1000; k++) {
        const share = from + ((to - from) * k) / 1000;
        passTick(meter, share, share, DT);
      }
    expect(meter.compared).toBeUndefined();
  });
});
