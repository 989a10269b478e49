import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { driveLoad, type JointTrajectory } from './drive-load.ts';
import { holdHeat, peakHeat, strideHeat } from './heat-load.ts';
import type { JointDrive } from './leg-drive.ts';
import { thermal } from './test-heat.ts';
import { motor, near, transmission } from './test-motor.ts';
import { motorConstant, motorConstants } from './torque-constant.ts';

const drive: JointDrive = {
  motor,
  transmission,
  thermal,
  currentLimit: 50,
  modulation: 'spaceVector',
  voltageMargin: 1,
  range: { from: rad(-1), to: rad(1) },
};
const N = 16;

/** One period of θ = a·sin x under a moment that runs ahead of it. */
const n = 2001;
const made = (of: (x: number) => number): Float64Array =>
  Float64Array.from({ length: n }, (_, i) => of((2 * Math.PI * i) / (n - 1)));
const swing: JointTrajectory = {
  angle: made((x) => 0.3 * Math.sin(x)),
  velocity: made((x) => 0.3 * 6 * Math.cos(x)),
  acceleration: made((x) => -0.3 * 36 * Math.sin(x)),
  moment: made((x) => 30 * Math.sin(x + 0.7)),
};
const heatOf = (d: JointDrive) => strideHeat(d, swing, driveLoad(d, swing, 48));

test('copper loss is that of K_m: the mean of (τ_m/K_m)², not the square of the mean', () => {
  const { rmsTorque } = driveLoad(drive, swing, 48);
  const km = motorConstant(
    motorConstants(motor.fluxLinkage, motor.polePairs).ktPerPhasePeak,
    motor.resistance,
  );
  near(heatOf(drive).copper, (rmsTorque / km) ** 2, 1e-12);
});

test('friction is drag, mesh and seals, each by its own formula, whatever the direction of power', () => {
  let sum = 0;
  for (let i = 0; i < n - 1; i++) {
    const [v, m] = [swing.velocity[i]!, swing.moment[i]!];
    const gear = m + 0.1 * Math.sign(v);
    const through = gear * v;
    sum +=
      0.1 * Math.abs(v) +
      (0.022 + 1.5e-4 * N * Math.abs(v)) * N * Math.abs(v) +
      (through >= 0 ? through * (1 / 0.93 - 1) : -through * (1 - 0.93));
  }
  near(heatOf(drive).friction, sum / (n - 1), 1e-9);
});

test('a saturating motor makes more heat of the same torque, the more so with hot magnets', () => {
  const saturating: JointDrive = { ...drive, motor: { ...motor, saturationCurrent: 60 } };
  const [plain, more] = [heatOf(drive), heatOf(saturating)];
  expect(more.copper).toBeGreaterThan(plain.copper);
  expect(plain.fluxExponent).toBe(2);
  expect(more.fluxExponent).toBeGreaterThan(2);
  // with magnets at the winding's limit the exponent gives the loss of the torque ÷ f exactly
  const f = 1 - 0.0012 * 100;
  const cold = driveLoad(saturating, swing, 48).motorTorque;
  const kt = 1.5 * 14 * 0.007;
  const hot = cold.map((torque) => {
    const share = torque / f / (kt * 60);
    return (torque / f / kt / Math.sqrt(1 - share * share)) ** 2;
  });
  const mean = hot.slice(1).reduce((s, x) => s + x, 0) / (n - 1);
  near(more.copper * f ** -more.fluxExponent, 1.5 * 0.08 * mean, 1e-9);
});

test('a torque beyond saturation has no heat, and says so by NaN', () => {
  expect(heatOf({ ...drive, motor: { ...motor, saturationCurrent: 10 } }).copper).toBeNaN();
});

test('a hold by hand: 40 N·m through 16:1 and 93 %', () => {
  const torque = 40 / (N * 0.93);
  const load = holdHeat(drive, -40);
  near(load.copper, 1.5 * 0.08 * (torque / (1.5 * 14 * 0.007)) ** 2, 1e-12);
  expect(load.rotor).toBe('stalled');
  expect(holdHeat(drive, 0).copper).toBe(0);
});

test('peak loss is of the lesser current limit', () => {
  near(peakHeat(drive, 'turning').copper, 1.5 * 0.08 * 50 ** 2, 1e-12);
  near(peakHeat({ ...drive, currentLimit: 90 }, 'turning').copper, 1.5 * 0.08 * 60 ** 2, 1e-12);
});
