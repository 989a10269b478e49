import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { jointEnvelope } from './joint-envelope.ts';
import type { JointDrive } from './leg-drive.ts';

// One sheet of numbers for a hand calculation: K_t = 1.5·20·0.004949 = 0.14847 N·m/A, linear, no drag, no loss.
const ideal: JointDrive = {
  motor: {
    name: 'check',
    polePairs: 20,
    fluxLinkage: 4.949e-3,
    resistance: 0.06579,
    referenceTemperature: 293.15,
    inductanceD: 49.07e-6,
    inductanceQ: 49.07e-6,
    rotorInertia: 2.148e-4,
    copperCoefficient: 0,
    magnetCoefficient: 0,
    coulombDrag: 0,
    viscousDrag: 0,
    breakawayDrag: 0,
    peakCurrent: 56.4,
    mass: 0.5,
  },
  transmission: {
    ratio: 22,
    inputInertia: 0,
    outputInertia: 0,
    drivingEfficiency: 1,
    backDrivenEfficiency: 1,
    outputCoulomb: 0,
    outputViscous: 0,
    outputBreakaway: 0,
    backlash: rad(0),
    torsionalStiffness: 1,
  },
  currentLimit: 56.4,
  modulation: 'spaceVector',
  voltageMargin: 0.95,
  range: { from: rad(0), to: rad(2) },
};

test('ends, by hand: 22 × 56.4 A × 0.14847 N·m/A = 184.2 N·m at rest, 0.95·36/√3/(20·λ)/22 = 519 °/s without load', () => {
  const points = jointEnvelope(ideal, 36);
  expect(points[0].speed).toBe(0);
  expect(Math.abs(points[0].torque - 184.2)).toBeLessThan(0.1);
  const end = points[points.length - 1];
  expect(end.torque).toBe(0);
  expect(Math.abs((end.speed * 180) / Math.PI - 519)).toBeLessThan(1);
});

test('every point lies on the phase-voltage circle (ω_e·L·i)² + (R·i + ω_e·λ)² = V²', () => {
  const { motor, transmission } = ideal;
  for (const { speed, torque } of jointEnvelope(ideal, 36).slice(1)) {
    const electrical = speed * transmission.ratio * motor.polePairs;
    const current = torque / transmission.ratio / (1.5 * motor.polePairs * motor.fluxLinkage);
    const voltage = Math.hypot(
      electrical * motor.inductanceQ * current,
      motor.resistance * current + electrical * motor.fluxLinkage,
    );
    expect(voltage).toBeCloseTo((0.95 * 36) / Math.sqrt(3), 9);
  }
});

test('loss and drag take off what the chapter says: N·η·(τ_m − τ_c) − τ_c,out at rest', () => {
  const lossy: JointDrive = {
    ...ideal,
    motor: { ...ideal.motor, coulombDrag: 0.05, viscousDrag: 1e-4 },
    transmission: { ...ideal.transmission, drivingEfficiency: 0.94, outputCoulomb: 0.1 },
  };
  const points = jointEnvelope(lossy, 44.4);
  expect(points[0].torque).toBeCloseTo(22 * 0.94 * (56.4 * 0.14847 - 0.05) - 0.1, 9);
  const speeds = points.map(({ speed }) => speed);
  expect([...speeds].sort((a, b) => a - b)).toEqual(speeds);
  for (const { torque } of points) expect(torque).toBeGreaterThanOrEqual(0);
});
