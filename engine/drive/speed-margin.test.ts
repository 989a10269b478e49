import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Motor } from './leg-drive.ts';
import { currentFor } from './motor-torque.ts';
import { fastestAt, speedMargin } from './speed-margin.ts';
import { speedLimit } from './voltage-limit.ts';

/** Invented. */
const motor: Motor = {
  name: 'demo',
  polePairs: 20,
  fluxLinkage: 4.949e-3,
  resistance: 65.79e-3,
  referenceTemperature: 293.15,
  inductanceD: 49.07e-6,
  inductanceQ: 49.07e-6,
  rotorInertia: 2.148e-4,
  copperCoefficient: 0.00393,
  magnetCoefficient: -0.0012,
  coulombDrag: 0.05,
  viscousDrag: 1.2e-4,
  breakawayDrag: 0.05,
  peakCurrent: 56.4,
  mass: 0.497,
};

/** Every instant looked at, none passed over. */
function plainMargin(of: Motor, voltage: number, ratio: number, velocity: number[], torque: number[]) {
  const rooms = velocity.map((v, i) => {
    const current = Number.isNaN(torque[i]) ? 0 : currentFor(of, torque[i]!);
    const limit = speedLimit(of, voltage, v < 0 ? -current : current);
    if (Number.isNaN(limit)) return 0;
    return v === 0 ? Number.POSITIVE_INFINITY : limit / (ratio * Math.abs(v));
  });
  const margin = Math.min(...rooms);
  return { margin, index: rooms.indexOf(margin) };
}

const largest = (y: readonly number[]): number =>
  y.reduce((at, value, i) => (Math.abs(value) > Math.abs(y[at]!) ? i : at), 0);

const searched = (of: Motor, voltage: number, ratio: number, velocity: number[], torque: number[]) =>
  speedMargin(of, voltage, ratio, Float64Array.from(velocity), Float64Array.from(torque), {
    strongest: Math.max(0, ...torque.filter((t) => !Number.isNaN(t)).map(Math.abs)),
    fastest: largest(velocity),
  });

describe('the margin is that of the plain search, to the last digit, and at the same instant', () => {
  const instant = fc.record({
    velocity: fc.oneof(fc.double({ min: -12, max: 12, noNaN: true }), fc.constant(0)),
    torque: fc.oneof(
      { weight: 9, arbitrary: fc.double({ min: -9, max: 9, noNaN: true }) },
      { weight: 1, arbitrary: fc.constant(Number.NaN) },
    ),
  });
  const asked = fc.record({
    stride: fc.array(instant, { minLength: 2, maxLength: 60 }),
    voltage: fc.double({ min: 1, max: 40, noNaN: true }),
    ratio: fc.double({ min: 4, max: 60, noNaN: true }),
    saturation: fc.option(fc.double({ min: 20, max: 120, noNaN: true }), { nil: undefined }),
    inductance: fc.double({ min: 0, max: 4e-4, noNaN: true }),
  });

  test('random strides, motors and buses, out of reach among them', () => {
    let outOfReach = 0;
    fc.assert(
      fc.property(asked, ({ stride, voltage, ratio, saturation, inductance }) => {
        const of = {
          ...motor,
          inductanceQ: inductance,
          ...(saturation !== undefined && { saturationCurrent: saturation }),
        };
        const [velocity, torque] = [stride.map((s) => s.velocity), stride.map((s) => s.torque)];
        const plain = plainMargin(of, voltage, ratio, velocity, torque);
        if (plain.margin === 0) outOfReach++;
        expect(searched(of, voltage, ratio, velocity, torque)).toEqual(plain);
      }),
      { seed: 12, numRuns: 2000 },
    );
    expect(outOfReach).toBeGreaterThan(100);
    expect(outOfReach).toBeLessThan(1900);
  });

  test('the least far from the fastest instant, under a strong torque', () => {
    const velocity = [1, 5, 6, 2];
    const torque = [0, 6.5, 0.1, 0];
    const found = searched(motor, 20, 22, velocity, torque);
    expect(found).toEqual(plainMargin(motor, 20, 22, velocity, torque));
    expect(found.index).toBe(1);
  });
});

// (ω_e·L·i)² + (R·i + ω_e·λ)² = V², the voltage circle itself, with the current that drives in the direction of motion positive
test('the fastest shaft lies on the voltage circle; unloaded where the torque is not known', () => {
  const { polePairs: p, fluxLinkage: flux, resistance: R, inductanceQ: L } = motor;
  for (const [torque, velocity] of [
    [5, 2],
    [5, -2],
    [-3, 1],
    [-3, -1],
    [Number.NaN, 1],
  ] as const) {
    const w = p * fastestAt(motor, 20, torque, velocity);
    const i = Number.isNaN(torque) ? 0 : (Math.sign(velocity) * torque) / (1.5 * p * flux);
    expect((w * L * i) ** 2 + (R * i + w * flux) ** 2).toBeCloseTo(400, 9);
    expect(w).toBeGreaterThan(0);
  }
});
