import { describe, expect, test } from 'vitest';
import type { Motor } from './leg-drive.ts';
import { shortCurrent, shortPeak, shortTorque } from './shorted-phases.ts';
import { motor, near } from './test-motor.ts';

/** The same motor with L_q twice L_d, and the other way round. */
const salient: Motor = { ...motor, inductanceQ: 180e-6 };
const inverse: Motor = { ...motor, inductanceD: 180e-6 };

/** Second route: the dq equations with v_d = v_q = 0 integrated in time until the currents stand still. */
function simulated(m: Motor, speed: number, added: number): { torque: number; current: number } {
  const R = m.resistance + added;
  const w = m.polePairs * speed;
  const { inductanceD: Ld, inductanceQ: Lq, fluxLinkage: flux } = m;
  const rate = (d: number, q: number) => [(-R * d + w * Lq * q) / Ld, (-R * q - w * (Ld * d + flux)) / Lq];
  const h = 0.05 / (Math.max(R / Math.min(Ld, Lq), w) || 1);
  let [d, q] = [0, 0];
  const steps = Math.ceil((40 * Math.max(Ld, Lq)) / R / h);
  for (let i = 0; i < steps; i++) {
    const k1 = rate(d, q);
    const k2 = rate(d + (h / 2) * k1[0], q + (h / 2) * k1[1]);
    const k3 = rate(d + (h / 2) * k2[0], q + (h / 2) * k2[1]);
    const k4 = rate(d + h * k3[0], q + h * k3[1]);
    d += (h / 6) * (k1[0] + 2 * k2[0] + 2 * k3[0] + k4[0]);
    q += (h / 6) * (k1[1] + 2 * k2[1] + 2 * k3[1] + k4[1]);
  }
  return { torque: -1.5 * m.polePairs * (flux + (Ld - Lq) * d) * q, current: Math.hypot(d, q) };
}

describe.each([
  ['L_d = L_q', motor],
  ['L_q = 2·L_d', salient],
  ['L_d = 2·L_q', inverse],
])('%s', (_, m) => {
  test.each([0, 0.72])(
    'steady torque and current are those of the settled time simulation, %s Ω added',
    (r) => {
      for (const speed of [1, 20, 63, 150, 400]) {
        const settled = simulated(m, speed, r);
        near(shortTorque(m, speed, r), settled.torque, 1e-6);
        near(shortCurrent(m, speed, r), settled.current, 1e-6);
      }
    },
  );

  test('what brakes is what heats: τ·ω = 1.5·R·i², and it is odd', () => {
    for (const speed of [1, 63, 400]) {
      near(shortTorque(m, speed, 0.3) * speed, 1.5 * 0.38 * shortCurrent(m, speed, 0.3) ** 2, 1e-12);
      expect(shortTorque(m, -speed, 0.3)).toBe(-shortTorque(m, speed, 0.3));
    }
  });

  test('the peak is the largest of a fine scan', () => {
    const { speed, torque } = shortPeak(m, 0.1);
    let [best, at] = [0, 0];
    for (let w = 0; w < 5 * speed; w += speed / 2000) {
      const here = shortTorque(m, w, 0.1);
      if (here > best) [best, at] = [here, w];
    }
    near(torque, best, 1e-6);
    near(speed, at, 1e-3);
  });
});

test('closed form without saliency: 1.5·p·λ²·ω_e·R/(R² + ω_e²·L²), peak 0.75·p·λ²/L at R/L', () => {
  for (const speed of [3, 63, 400]) {
    const w = 14 * speed;
    near(
      shortTorque(motor, speed, 0),
      (1.5 * 14 * 0.007 ** 2 * w * 0.08) / (0.08 ** 2 + (w * 90e-6) ** 2),
      1e-12,
    );
  }
  for (const r of [0, 0.72]) {
    near(shortPeak(motor, r).torque, (0.75 * 14 * 0.007 ** 2) / 90e-6, 1e-12);
    near(shortPeak(motor, r).speed, (0.08 + r) / 90e-6 / 14, 1e-12);
  }
});

// K_m² = 0.424352² N²·m²/W is the check value of this motor; 22:1, lossless: printed to two or three figures.
test('DRV-M6 motor at 22:1: 87 N·m·s/rad near zero, 126 N·m at 2.9 rad/s; with 0.72 Ω 8.7, near 29 rad/s', () => {
  const joint = (q: number, r: number) => 22 * shortTorque(motor, 22 * q, r);
  near(joint(1e-6, 0) / 1e-6, 22 ** 2 * 0.424352 ** 2, 1e-5);
  expect(Math.round(joint(1e-6, 0) / 1e-6)).toBe(87);
  expect((joint(1e-6, 0.72) / 1e-6).toFixed(1)).toBe('8.7');
  expect(Math.round(22 * shortPeak(motor, 0).torque)).toBe(126);
  expect((shortPeak(motor, 0).speed / 22).toFixed(1)).toBe('2.9');
  expect(Math.round(shortPeak(motor, 0.72).speed / 22)).toBe(29);
});
