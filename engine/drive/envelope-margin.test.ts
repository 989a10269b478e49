import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { envelopeMargin } from './envelope-margin.ts';
import { operation } from './joint-envelope.ts';
import type { JointDrive } from './leg-drive.ts';
import { torqueOf } from './motor-torque.ts';
import { voltageRoom } from './operating-limit.ts';
import { motor, near, transmission } from './test-motor.ts';

const drive: JointDrive = {
  motor: { ...motor, saturationCurrent: 200 },
  transmission,
  currentLimit: 60,
  modulation: 'spaceVector',
  voltageMargin: 0.95,
  range: { from: rad(-1), to: rad(1) },
};
const conditions = {
  supply: { openCircuitVoltage: 36, resistance: 0.1, dischargeLimit: 40, chargeLimit: 5 },
  temperatures: { winding: 360, magnets: 340 },
};
const n = 81;
const made = (of: (x: number) => number): Float64Array =>
  Float64Array.from({ length: n }, (_, i) => of((2 * Math.PI * i) / (n - 1)));
const velocity = made((x) => 7 * Math.sin(x) + 2 * Math.sin(2 * x));
const torque = made((x) => 3 * Math.sin(x + 0.8));
const other = made((x) => 150 * Math.cos(x));

test('the least margins over the stride are those of a plain search over all instants', () => {
  const o = operation(drive, conditions);
  let [least, leastIndex] = [Number.POSITIVE_INFINITY, -1];
  let [slow, slowIndex] = [Number.POSITIVE_INFINITY, -1];
  for (let i = 0; i < n; i++) {
    const sign = torque[i]! * velocity[i]! < 0 ? -1 : 1;
    const speed = 16 * Math.abs(velocity[i]!);
    let most = 0;
    for (let q = 0; q <= 60; q += 0.005) if (voltageRoom(o, other[i]!, speed, sign * q, 0) >= 0) most = q;
    const margin = torqueOf(o.motor, most) / Math.abs(torque[i]!);
    if (margin < least) [least, leastIndex] = [margin, i];
    // the current of this torque, by search in the same way
    let current = 0;
    while (torqueOf(o.motor, current) < Math.abs(torque[i]!)) current += 0.001;
    let fastest = 0;
    for (let w = 0; w <= 600; w += 0.05)
      if (voltageRoom(o, other[i]!, w, sign * current, 0) >= 0) fastest = w;
    if (fastest / speed < slow) [slow, slowIndex] = [fastest / speed, i];
  }
  const found = envelopeMargin(drive, conditions, velocity, torque, other);
  near(found.torque, least, 1e-3);
  near(found.speed, slow, 1e-3);
  expect([found.torqueIndex, found.speedIndex]).toEqual([leastIndex, slowIndex]);
});

test('inside is a margin above one in both; outside the share of time is counted', () => {
  const easy = envelopeMargin(
    drive,
    conditions,
    velocity.map((v) => v / 4),
    torque,
    other,
  );
  expect(easy.outside).toBe(0);
  expect(easy.torque).toBeGreaterThan(1);
  expect(easy.speed).toBeGreaterThan(1);
  // 24 N·m are far above what the current limit gives
  const hard = envelopeMargin(
    drive,
    conditions,
    velocity,
    torque.map(() => 24),
    other,
  );
  near(hard.outside, 1, 1e-12);
  expect(hard.torque).toBeLessThan(1);
  expect(hard.speed).toBe(0);
});

test('torque beyond saturation leaves no speed, and a torque margin below one', () => {
  const weak = { ...drive, motor: { ...motor, saturationCurrent: 10 } };
  const margin = envelopeMargin(weak, conditions, velocity, torque, other);
  expect(margin.speed).toBe(0);
  expect(margin.torque).toBeLessThan(1);
});
