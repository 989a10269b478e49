import { describe, expect, test } from 'vitest';
import { chargedTo } from './capacitor.ts';
import { packOpen } from './pack-open.ts';
import { near } from './test-motor.ts';

/** A stride of 201 samples in which `watts` come back from 0.2 s for 0.08 s, and 40 W are drawn the rest of the time. */
const stride = (watts: number): Float64Array =>
  Float64Array.from({ length: 201 }, (_, i) => (i >= 40 && i <= 56 ? -watts : 40));
const STEP = 0.005;
/** Energy of the burst as its samples join: linear between samples, J, from where it turns negative to where it turns back. */
const burst = (watts: number): number => watts * 16 * STEP + (watts / (watts + 40)) * watts * STEP;

/** Second route: the resistor as a switch with hysteresis and dead time of a microsecond step, voltage integrated. */
function switched(
  power: Float64Array,
  from: number,
  bus: { V: number; C: number; R: number; on: number },
): number {
  let V = bus.V;
  let conducting = false;
  let top = V;
  const h = 1e-6;
  for (let t = from * STEP; t < from * STEP + 0.2 && V > bus.V - 1; t += h) {
    if (V > bus.on) conducting = true;
    else if (V < bus.on - 0.02) conducting = false;
    const i = Math.floor(t / STEP);
    const P = power[i] + (t / STEP - i) * (power[i + 1] - power[i]);
    V += ((-P / V - (conducting ? V / bus.R : 0)) * h) / bus.C;
    top = Math.max(top, V);
  }
  return top;
}

test('8 J of braking into 4.7 mF at 36 V is 69 V', () => {
  expect(Math.round(chargedTo(4.7e-3, 36, 8))).toBe(69);
  const watts = 97.09;
  near(burst(watts), 8.114, 1e-3);
  const open = packOpen(stride(watts), STEP, { voltage: 36, capacitance: 4.7e-3 });
  near(open.energy, burst(watts), 2e-3);
  near(open.voltage, chargedTo(4.7e-3, 36, burst(watts)), 2e-3);
  expect(open.voltage).toBe(open.withoutResistor);
  expect(open.resistorEnergy).toBe(0);
  expect([39, 40]).toContain(open.opensAt);
  near(open.peakReturn, watts, 1e-12);
  near(open.meanReturn, (watts * 17) / 200, 1e-12);
});

test('a swinging shank braked from 8 J: closed form without copper, shank and bus simulated together with it', () => {
  const [inertia, torque, h] = [0.5, 40, 5e-4];
  const first = Math.sqrt((2 * 8) / inertia);
  for (const constant of [0, 1 / 9 ** 2]) {
    // N·K_m = 9 N·m/√W: copper takes (τ/9)² W while it brakes
    const copper = torque ** 2 * constant;
    const power = Float64Array.from({ length: 1001 }, (_, i) => {
      const speed = first - (torque * (i - 200) * h) / inertia;
      return i < 200 || speed < 0 ? 0 : copper - torque * speed;
    });
    const open = packOpen(power, h, { voltage: 36, capacitance: 4.7e-3 });
    let [speed, V, top] = [first, 36, 36];
    for (const dt = 1e-6; speed > 0; ) {
      V += ((torque * speed - copper) / V / 4.7e-3) * dt;
      speed -= (torque / inertia) * dt;
      top = Math.max(top, V);
    }
    near(open.voltage, top, 5e-3);
    if (constant === 0) expect(Math.round(open.voltage)).toBe(69);
    else expect(open.voltage).toBeLessThan(68);
  }
});

describe('with a brake resistor', () => {
  const bus = (resistance: number) => ({
    voltage: 44.4,
    capacitance: 4.7e-3,
    brakeResistor: { resistance, threshold: 52 },
  });

  test('strong enough it holds the bus at its threshold, and takes what the capacitor does not', () => {
    const open = packOpen(stride(300), STEP, bus(5.9));
    expect(open.voltage).toBe(52);
    // 52²/5.9 = 458 W > 300 W; what the capacitor takes up to 52 V it has taken, the rest is burnt
    near(open.resistorEnergy, burst(300) - 0.5 * 4.7e-3 * (52 ** 2 - 44.4 ** 2), 5e-3);
    near(switched(stride(300), 39, { V: 44.4, C: 4.7e-3, R: 5.9, on: 52 }), 52, 1e-3);
  });

  test.each([
    [900, 5.9],
    [600, 12],
    [300, 47],
  ])('too weak it lets the bus rise: %s W into %s Ω as a switching simulation has it', (watts, ohms) => {
    const open = packOpen(stride(watts), STEP, bus(ohms));
    const theirs = switched(stride(watts), open.opensAt, { V: 44.4, C: 4.7e-3, R: ohms, on: 52 });
    near(open.voltage, theirs, 1e-3);
    expect(open.voltage).toBeLessThan(Math.sqrt(watts * ohms) + 1e-9);
    expect(open.voltage).toBeLessThan(open.withoutResistor);
    // what came back beyond what the capacitor gives back is burnt: up to the end of the return, the bus is above its first voltage
    let returned = 0;
    for (let i = 30; i < 62; i++)
      returned -= (STEP * Math.min(0, stride(watts)[i] + stride(watts)[i + 1])) / 2;
    expect(open.resistorEnergy).toBeLessThan(returned);
    expect(open.resistorEnergy).toBeGreaterThan(
      returned - 0.5 * 4.7e-3 * (open.voltage ** 2 - 44.4 ** 2) - 0.3,
    );
  });

  test('no other opening is worse', () => {
    const power = Float64Array.from(
      { length: 201 },
      (_, i) => 60 - 500 * Math.exp(-(((i - 150) / 12) ** 2)) - 300 * Math.exp(-(((i - 190) / 5) ** 2)),
    );
    const open = packOpen(power, STEP, bus(20));
    for (let from = 60; from < 158; from += 7)
      expect(switched(power, from, { V: 44.4, C: 4.7e-3, R: 20, on: 52 })).toBeLessThan(open.voltage * 1.001);
  });
});

test('the stride comes round: braking across initial contact is one event', () => {
  const split = Float64Array.from({ length: 201 }, (_, i) => (i < 10 || i > 190 ? -100 : 40));
  const open = packOpen(split, STEP, { voltage: 40, capacitance: 0.01 });
  expect(open.opensAt).toBeGreaterThan(185);
  near(open.energy, 100 * 18 * STEP + 2 * 0.5 * (100 / 140) * 100 * STEP, 2e-3);
});

test('a stride that only draws returns nothing, and one with a gap is not known', () => {
  const drawn = packOpen(new Float64Array(201).fill(20), STEP, { voltage: 40, capacitance: 0.01 });
  expect([drawn.voltage, drawn.energy, drawn.peakReturn]).toEqual([40, 0, 0]);
  const gap = packOpen(new Float64Array(201).fill(-20).fill(Number.NaN, 3, 4), STEP, {
    voltage: 40,
    capacitance: 0.01,
  });
  expect(gap.voltage).toBeNaN();
});
