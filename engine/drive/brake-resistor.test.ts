import { test } from 'vitest';
import { brakeDuty, largestBrakeResistance } from './brake-resistor.ts';
import { near } from './test-motor.ts';

test('DRV-P6: 300 W peak and 150 W mean at 42 V ask for 5.88 Ω, on half of the time', () => {
  const resistance = largestBrakeResistance(42, 300);
  near(resistance, 5.88);
  near(brakeDuty(resistance, 42, 150), 0.5);
});
