import { expect, test } from 'vitest';
import { packEnergy, stridesPerCharge } from './charge-range.ts';
import { near } from './test-motor.ts';

test('DRV-P11: 85 % of 150 Wh at 38 J a stride and 4 W beside, 1.1 s and 1.4 m long: 10 825 strides, 15.2 km', () => {
  const strides = stridesPerCharge(packEnergy(4 * 3600, 37.5), 0.85, 38 + 4 * 1.1);
  near(strides, 10825.5);
  near(strides * 1.4, 15155.7);
});

test('a stride that returns more than it draws has no last one', () => {
  expect(stridesPerCharge(1000, 0.85, -2)).toBe(Number.POSITIVE_INFINITY);
});
