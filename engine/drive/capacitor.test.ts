import { expect, test } from 'vitest';
import { capacitorEnergy, chargedTo, rippleCurrent } from './capacitor.ts';
import { near } from './test-motor.ts';

/** Rms of what flows in the capacitor: pulses of a centred carrier, added up exactly within each period, over one electrical turn. */
function switched(current: number, modulation: number, powerFactor: number): number {
  const phi = Math.acos(powerFactor);
  const n = 2400;
  let mean = 0;
  let square = 0;
  for (let j = 0; j < n; j++) {
    const angle = (2 * Math.PI * (j + 0.5)) / n;
    const phases = [0, 1, 2].map((k) => {
      const at = angle - (2 * Math.PI * k) / 3;
      return {
        on: 0.5 * (1 + modulation * Math.cos(at)),
        i: current * Math.SQRT2 * Math.cos(at - phi),
      };
    });
    // the switches that are on feed their phases from the bus; the longest on goes first to last
    phases.sort((a, b) => b.on - a.on);
    for (let on = 0; on < 3; on++) {
      const width = phases[on]!.on - (phases[on + 1]?.on ?? 0);
      const fed = phases.slice(0, on + 1).reduce((sum, { i }) => sum + i, 0);
      mean += (width * fed) / n;
      square += (width * fed * fed) / n;
    }
  }
  return Math.sqrt(square - mean * mean);
}

test('DRV-P2: 25 A rms, M = 0.8, cos φ = 0.9 put 14.83 A rms into the capacitor', () => {
  near(rippleCurrent(25, 0.8, 0.9), 14.8293);
});

test('the closed form is the sum of the pulses', () => {
  for (const [m, pf] of [
    [0.8, 0.9],
    [0.2, 1],
    [1, 0.3],
    [0.6, -0.95],
  ] as const)
    near(rippleCurrent(25, m, pf), switched(25, m, pf), 1e-4);
});

test('DRV-P5: 40 F from 24 to 27 V is 3060 J; 4.7 mF from 36 to 42 V 1.1 J; 1.5 J lift it from 36 to 43.98 V', () => {
  near(capacitorEnergy(40, 24, 27), 3060, 1e-12);
  near(capacitorEnergy(4.7e-3, 36, 42), 1.0998);
  near(chargedTo(4.7e-3, 36, 1.5), 43.9807);
});

test('a pack that opens at 36 V while 8 J come back leaves 4.7 mF at 69 V', () => {
  expect(Math.round(chargedTo(4.7e-3, 36, 8))).toBe(69);
});

test('voltage and energy are each other’s inverse', () => {
  expect(capacitorEnergy(4.7e-3, 36, chargedTo(4.7e-3, 36, 8))).toBeCloseTo(8, 12);
});
