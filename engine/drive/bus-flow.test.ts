import { describe, expect, test } from 'vitest';
import type { Supply } from './battery.ts';
import { type BrakeResistor, type BusFlow, busFlow } from './bus-flow.ts';
import { sharedPower } from './shared-power.ts';
import { near } from './test-motor.ts';

const KNEE = [10, -30, -45, 20, 15, -20, -60, -25, 5, 10];
const ANKLE = [-15, -20, -25, -30, 120, 180, 10, -5, -5, -5];
const mean = (values: ArrayLike<number>): number =>
  Array.from(values).reduce((s, x) => s + x, 0) / values.length;
const positive = (x: number): number => Math.max(x, 0);
const none = (n: number): Float64Array => new Float64Array(n);

describe('DRV-P7: ten equal intervals of knee and ankle', () => {
  const sum = Float64Array.from(KNEE, (knee, k) => knee + ANKLE[k]!);

  test('each rectified alone draws 37.0 and returns 28.5 W; on one bus 30.0 and 21.5 W', () => {
    near(mean(KNEE.map(positive)) + mean(ANKLE.map(positive)), 37, 1e-12);
    near(mean(Array.from(sum, positive)), 30, 1e-12);
    // what one gives the other is the difference, and it is taken before anything is rectified
    near(mean(KNEE.map((knee, k) => sharedPower(knee, ANKLE[k]!))), 7, 1e-12);
  });

  test('cells that take 40 W at 95 % leave 4.368 W on the bus; drawn at 97 %, the battery gives 14.65 W', () => {
    // a stiff pack of 1 V takes as many amperes as watts
    const flow = busFlow(
      { openCircuitVoltage: 1, resistance: 0, chargeLimit: 40 / 0.95 },
      undefined,
      sum,
      none(10),
    );
    near(mean(flow.windings), 4.36842);
    near(mean(Array.from(flow.current, positive)), 30, 1e-12);
    near(mean(Array.from(flow.current, (i) => (i > 0 ? i / 0.97 : i * 0.95))), 14.6528);
    // without a limit nothing is left over
    const free = busFlow({ openCircuitVoltage: 1, resistance: 0 }, undefined, sum, none(10));
    near(mean(Array.from(free.current, (i) => (i > 0 ? i / 0.97 : i * 0.95))), 10.5028);
    expect(mean(free.windings)).toBe(0);
  });
});

/** A supply, a brake resistor and random loads of both signs, reproducible (Park & Miller, minimal standard). */
let seed = 20261127;
const random = (): number => {
  seed = (seed * 48271) % 2147483647;
  return seed / 2147483647;
};
const between = (low: number, high: number): number => low + (high - low) * random();

function balance(supply: Supply, flow: BusFlow, power: Float64Array, perVolt: Float64Array): number {
  let worst = 0;
  for (let i = 0; i < power.length; i++) {
    const [v, a] = [flow.voltage[i]!, flow.current[i]!];
    const used = power[i]! + perVolt[i]! * v + flow.resistor[i]! + flow.windings[i]!;
    const given = supply.openCircuitVoltage * a - supply.resistance * a * a;
    worst = Math.max(worst, Math.abs(given - used) / Math.max(1, Math.abs(power[i]!)));
  }
  return worst;
}

test('what the cells give is what is used and burnt, at every sample of random buses', () => {
  let [braked, burnt] = [0, 0];
  for (let k = 0; k < 200; k++) {
    const E = between(20, 60);
    const supply: Supply = {
      openCircuitVoltage: E,
      resistance: between(0.02, 0.5),
      ...(random() < 0.7 && { chargeLimit: between(0, 12) }),
    };
    const brake: BrakeResistor | undefined =
      random() < 0.7 ? { resistance: between(1, 10), threshold: E + between(0.1, 4) } : undefined;
    const power = Float64Array.from({ length: 60 }, () =>
      between(-900, (0.9 * (E * E)) / (4 * supply.resistance)),
    );
    const perVolt = Float64Array.from(power, () => between(0, 0.1));
    const flow = busFlow(supply, brake, power, perVolt);
    expect(balance(supply, flow, power, perVolt)).toBeLessThan(1e-9);
    for (let i = 0; i < 60; i++) {
      const limit = supply.chargeLimit ?? Number.POSITIVE_INFINITY;
      const [v, a, inR, inW] = [flow.voltage[i]!, flow.current[i]!, flow.resistor[i]!, flow.windings[i]!];
      expect(a).toBeGreaterThanOrEqual(-limit);
      expect(inR).toBeGreaterThanOrEqual(0);
      expect(inW).toBeGreaterThanOrEqual(-1e-9);
      // the order: the resistor works only at its threshold or above, the windings only when the cells are at their limit
      if (inR > 0) {
        braked++;
        expect(v).toBeGreaterThanOrEqual(brake!.threshold - 1e-9);
        expect(inR).toBeLessThanOrEqual((v * v) / brake!.resistance + 1e-9);
      }
      if (inW > 1e-6) {
        burnt++;
        expect(a).toBe(-limit);
      }
    }
  }
  expect(braked).toBeGreaterThan(100);
  expect(burnt).toBeGreaterThan(100);
});

test('a resistor above what the charge limit lets the bus rise to never switches on', () => {
  // 5 A into 44.4 V behind 0.12 Ω is 45.0 V: 52 V would be 63 A
  const supply: Supply = { openCircuitVoltage: 44.4, resistance: 0.12, chargeLimit: 5 };
  const flow = busFlow(supply, { resistance: 5.9, threshold: 52 }, Float64Array.of(-400, -100, 200), none(3));
  near(flow.voltage[0]!, 45, 1e-12);
  expect(flow.resistor).toEqual(none(3));
  near(flow.windings[0]!, 400 - 5 * 45, 1e-12);
});

test('a resistor holds its threshold by chopping until it is on all the time, then the bus rises', () => {
  const supply: Supply = { openCircuitVoltage: 40, resistance: 0.1 };
  const brake = { resistance: 4, threshold: 41 };
  const flow = busFlow(supply, brake, Float64Array.of(-300, -700, -1200), none(3));
  expect(flow.voltage[0]).toBeLessThan(41);
  expect(flow.resistor[0]).toBe(0);
  near(flow.voltage[1]!, 41, 1e-12);
  near(flow.resistor[1]!, 700 - 41 * 10, 1e-9);
  const v = flow.voltage[2]!;
  expect(v).toBeGreaterThan(41);
  near(flow.resistor[2]!, (v * v) / 4, 1e-12);
});

test('more than the pack can give has no voltage', () => {
  const flow = busFlow(
    { openCircuitVoltage: 36, resistance: 0.12 },
    undefined,
    Float64Array.of(2701),
    none(1),
  );
  expect(flow.voltage[0]).toBeNaN();
  expect(flow.current[0]).toBeNaN();
});
