import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import type { Supply } from './battery.ts';
import { jointEnvelope, operation, safeWeakening, sagSpeed } from './joint-envelope.ts';
import type { JointDrive } from './leg-drive.ts';
import { motor as checkMotor, transmission as checkTransmission, near } from './test-motor.ts';
import { motorConstants } from './torque-constant.ts';

const stiff = (openCircuitVoltage: number): { supply: Supply } => ({
  supply: { openCircuitVoltage, resistance: 0 },
});

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
  const points = jointEnvelope(ideal, stiff(36)).driving;
  expect(points[0].speed).toBe(0);
  expect(Math.abs(points[0].torque - 184.2)).toBeLessThan(0.1);
  const end = points[points.length - 1];
  expect(end.torque).toBe(0);
  expect(Math.abs((end.speed * 180) / Math.PI - 519)).toBeLessThan(1);
});

test('every point lies on the phase-voltage circle (ω_e·L·i)² + (R·i + ω_e·λ)² = V²', () => {
  const { motor, transmission } = ideal;
  for (const { speed, torque } of jointEnvelope(ideal, stiff(36)).driving.slice(1)) {
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
  const points = jointEnvelope(lossy, stiff(44.4)).driving;
  expect(points[0].torque).toBeCloseTo(22 * 0.94 * (56.4 * 0.14847 - 0.05) - 0.1, 9);
  const speeds = points.map(({ speed }) => speed);
  expect([...speeds].sort((a, b) => a - b)).toEqual(speeds);
  for (const { torque } of points) expect(torque).toBeGreaterThanOrEqual(0);
});

const check: JointDrive = {
  ...ideal,
  motor: checkMotor,
  transmission: checkTransmission,
  currentLimit: 60,
};
const sagging: Supply = { openCircuitVoltage: 36, resistance: 0.08 };

test('DRV-P12: 60 A on 36 V behind 0.08 Ω: 111.4 rad/s at 32.52 V and 1415 W, where a stiff bus would allow 127.1', () => {
  const speed = sagSpeed(operation(check, { supply: sagging }), 0, 60);
  near(speed, 111.44);
  const power = 1.5 * 14 * 0.007 * 60 * speed + 1.5 * 0.08 * 60 ** 2;
  near(power, 1414.9);
  near((36 + Math.sqrt(36 ** 2 - 4 * 0.08 * power)) / 2, 32.5192);
  near(sagSpeed(operation(check, stiff(36)), 0, 60), 127.0564);
});

test('DRV-M6: braking current raises the limit on a stiff bus, and more on one that braking lifts', () => {
  near(sagSpeed(operation(check, stiff(36)), 0, -40), 204.507);
  const lifted = sagSpeed(operation(check, { supply: sagging }), 0, -40);
  expect(lifted).toBeGreaterThan(204.6);
  // cells that may take nothing do not let the bus rise, whatever its resistance
  const full = { supply: { ...sagging, chargeLimit: 0 } };
  near(sagSpeed(operation(check, full), 0, -40), 204.507);
});

/** Whether current and speed fit voltage and pack: all equations in the order a person would solve them, by small steps of bus voltage. */
function fits(speed: number, current: number, E: number, R: number): boolean {
  const w = 14 * speed;
  const needed = (Math.hypot(w * 90e-6 * current, 0.08 * current + w * 0.007) * Math.sqrt(3)) / 0.95;
  const power = 1.5 * 14 * 0.007 * current * speed + 1.5 * 0.08 * current * current;
  // at the bus voltage needed, the pack must give that power or more
  return ((E - needed) / R) * needed >= power;
}

test('one side of the envelope fits and the other does not, driving and braking, on random packs', () => {
  for (const [E, R] of [
    [30, 0.05],
    [44.4, 0.12],
    [52, 0.3],
  ] as const)
    for (const current of [-50, -20, 5, 30, 60]) {
      const speed = sagSpeed(
        operation(check, { supply: { openCircuitVoltage: E, resistance: R } }),
        0,
        current,
      );
      expect(fits(speed * (1 - 1e-9), current, E, R)).toBe(true);
      expect(fits(speed * (1 + 1e-9), current, E, R)).toBe(false);
    }
});

test('a discharge limit binds where sag alone would not', () => {
  const speed = sagSpeed(operation(check, { supply: { ...sagging, dischargeLimit: 20 } }), 0, 60);
  // 20 A is 34.4 V and 688 W, of which 432 W are copper
  near(speed, (20 * 34.4 - 432) / (1.5 * 14 * 0.007 * 60), 1e-9);
});

test('what the rest of the leg draws lowers the bus for this joint', () => {
  const alone = sagSpeed(operation(check, { supply: sagging }), 0, 30);
  const beside = sagSpeed(operation(check, { supply: sagging }), 500, 30);
  expect(beside).toBeLessThan(alone);
  const power = 1.5 * 14 * 0.007 * 30 * beside + 1.5 * 0.08 * 900 + 500;
  const volts = (36 + Math.sqrt(36 ** 2 - 4 * 0.08 * power)) / 2;
  near(
    Math.hypot(14 * beside * 90e-6 * 30, 0.08 * 30 + 14 * beside * 0.007),
    (0.95 * volts) / Math.sqrt(3),
    1e-9,
  );
});

test('warm: less torque at rest by the magnets, and R and λ of the circle as warm as they are', () => {
  const temperatures = { winding: 393.15, magnets: 353.15 };
  const [cold, warm] = [undefined, temperatures].map(
    (at) => jointEnvelope(ideal, { ...stiff(36), ...(at && { temperatures: at }) }).driving,
  );
  // the sheet above has no coefficients, so nothing changes; with them, the torque goes with the flux
  expect(warm).toEqual(cold);
  const hot = jointEnvelope(
    { ...ideal, motor: { ...ideal.motor, magnetCoefficient: -0.0012, copperCoefficient: 0.00393 } },
    { ...stiff(36), temperatures },
  ).driving;
  near(hot[0]!.torque / cold![0]!.torque, 1 - 0.0012 * 60, 1e-12);
  near(hot.at(-1)!.speed / cold!.at(-1)!.speed, 1 / (1 - 0.0012 * 60), 1e-9);
});

test('braking at rest, by hand: drag and mesh help, N·(τ_m + τ_c)/η_b + τ_c,out', () => {
  const { braking } = jointEnvelope(check, stiff(36));
  near(braking[0]!.torque, (16 * (0.147 * 60 + 0.022)) / 0.93 + 0.1, 1e-12);
  const end = braking.at(-1)!;
  near(end.torque, (16 * (0.022 + 1.5e-4 * 16 * end.speed)) / 0.93 + 0.1, 1e-9);
});

test('DRV-M7: with a weakened field 30 A go to 260 rad/s and beyond, as far as the current limit lets d current grow', () => {
  const o = operation(check, stiff(36));
  const fastest = safeWeakening(check, 120);
  near(fastest * motorConstants(0.007, 14).keLinePeak, 120, 1e-12);
  const speed = sagSpeed(o, 0, 30, { fastest });
  expect(speed).toBeGreaterThan(260);
  // there all of the current limit is used: √(60² − 30²) of d current, on the circle
  const d = -Math.sqrt(60 ** 2 - 30 ** 2);
  const w = 14 * speed;
  near(
    Math.hypot(0.08 * d - w * 90e-6 * 30, 0.08 * 30 + w * (90e-6 * d + 0.007)),
    (0.95 * 36) / Math.sqrt(3),
    1e-6,
  );
  // 49.8 A in all suffice at 260 rad/s, so that with just that limit the limit is 260 rad/s
  near(sagSpeed({ ...o, largestCurrent: 49.80912 }, 0, 30, { fastest }), 260);
  expect(sagSpeed(o, 0, 30, { fastest: 200 })).toBe(200);
});
