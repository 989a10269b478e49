import { expect, test } from 'vitest';
import { motor, near } from './test-motor.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

test('DRV-M6 voltage limit: closed form and the voltage circle itself', () => {
  const V = phaseVoltageLimit(36, { modulation: 'spaceVector', voltageMargin: 0.95 });
  near(V, 19.74538);
  for (const [i, w] of [
    [0, 201.4835],
    [20, 179.7816],
    [40, 152.8608],
    [60, 127.0564],
    [-40, 204.507],
  ] as const) {
    const speed = speedLimit(motor, V, i);
    near(speed, w);
    const we = 14 * speed;
    near(Math.hypot(we * 90e-6 * i, 0.08 * i + we * 0.007), V, 1e-12);
  }
  expect(speedLimit(motor, V, 300)).toBeNaN();
});
