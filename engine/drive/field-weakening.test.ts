import { expect, test } from 'vitest';
import { characteristicCurrent, weakeningCurrent } from './field-weakening.ts';
import { copperLoss } from './heat-load.ts';
import { motor, near } from './test-motor.ts';
import { speedLimit } from './voltage-limit.ts';

const VOLTAGE = (0.95 * 36) / Math.sqrt(3);

test('DRV-M7: 30 A at 260 rad/s on 36 V needs −39.8 A of d current, 49.8 A in all, 298 W of copper', () => {
  const d = weakeningCurrent(motor, VOLTAGE, 260, 30);
  near(d, -39.7611);
  near(Math.hypot(d, 30), 49.8091);
  near(copperLoss(motor, Math.hypot(d, 30)), 297.714);
  near(characteristicCurrent(motor), 77.7778);
  near(speedLimit(motor, VOLTAGE, 30), 166.486);
});

/** Phase voltage, from its two components. */
const needed = (m: typeof motor, speed: number, d: number, q: number): number => {
  const w = m.polePairs * speed;
  return Math.hypot(
    m.resistance * d - w * m.inductanceQ * q,
    m.resistance * q + w * (m.inductanceD * d + m.fluxLinkage),
  );
};

test('the least d current that reaches the circle, also salient and braking: searched', () => {
  const salient = { ...motor, inductanceD: 70e-6, inductanceQ: 120e-6 };
  for (const m of [motor, salient])
    for (const q of [-30, 0, 30]) {
      const speed = 1.15 * speedLimit(m, VOLTAGE, q);
      const d = weakeningCurrent(m, VOLTAGE, speed, q);
      near(needed(m, speed, d, q), VOLTAGE, 1e-12);
      for (let share = 0; share < 0.9999; share += 0.002)
        expect(needed(m, speed, share * d, q)).toBeGreaterThan(VOLTAGE);
    }
});

test('inside the circle none is needed; where none helps there is none', () => {
  expect(weakeningCurrent(motor, VOLTAGE, 160, 30)).toBe(0);
  expect(weakeningCurrent(motor, VOLTAGE, 2000, 60)).toBeNaN();
});
