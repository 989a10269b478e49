import { expect, test } from 'vitest';
import { packCurrent, packLimit, type Supply, sagged } from './battery.ts';
import { near } from './test-motor.ts';

const pack: Supply = { openCircuitVoltage: 36, resistance: 0.12 };

test('DRV-P3: 900 W from 36 V behind 0.12 Ω is 27.53 A at 32.70 V; more than 2700 W cannot be had', () => {
  near(packCurrent(pack, 900), 27.5255);
  near(sagged(pack, 900), 32.6969);
  near(packLimit(pack), 2700);
  near(0.12 * packCurrent(pack, 900) ** 2, 90.918);
});

test('at the limit the voltage is half, beyond it there is none', () => {
  expect(sagged(pack, 2700)).toBe(18);
  expect(sagged(pack, 2700.001)).toBeNaN();
  expect(packCurrent(pack, 2701)).toBeNaN();
});

test('Kirchhoff and power, drawing and charging, with and without a part that goes with the voltage', () => {
  for (const power of [-800, -5, 0, 40, 1200])
    for (const perVolt of [0, 0.3]) {
      const v = sagged(pack, power, perVolt);
      const current = (36 - v) / 0.12;
      expect(v * current).toBeCloseTo(power + perVolt * v, 9);
      expect(v > 36).toBe(power + perVolt * v < 0);
    }
});

test('a bus without resistance never sags', () => {
  expect(sagged({ openCircuitVoltage: 44.4, resistance: 0 }, 5000)).toBe(44.4);
});
