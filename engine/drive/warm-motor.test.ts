import { expect, test } from 'vitest';
import { motor, near } from './test-motor.ts';
import { motorConstant, motorConstants } from './torque-constant.ts';
import { warmMotor } from './warm-motor.ts';

const km = (m: typeof motor): number =>
  motorConstant(motorConstants(m.fluxLinkage, m.polePairs).ktPerPhasePeak, m.resistance);

test('DRV-M8: winding at 120 °C and magnets at 80 °C leave 0.786 of the motor constant', () => {
  const warm = warmMotor(motor, { winding: 393.15, magnets: 353.15 });
  near(km(warm) / km(motor), 0.786271);
  near(warm.resistance, 0.11144);
});

test('without temperatures it is the motor of the file', () => {
  expect(warmMotor(motor)).toBe(motor);
});
