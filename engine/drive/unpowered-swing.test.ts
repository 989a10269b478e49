import { describe, expect, test } from 'vitest';
import type { FreeLimb } from '../gait/carried-limb.ts';
import { rad } from '../quantity/angle.ts';
import { coulombPeak, periodStretch } from './free-swing.ts';
import type { JointDrive } from './leg-drive.ts';
import { lossless, lossy } from './test-drive.ts';
import { near } from './test-motor.ts';
import { unpoweredSwing } from './unpowered-swing.ts';

const K = 12;
const LIMB = 0.3;
const pendulum: FreeLimb = (_, angle, __, into) => {
  into.inertia = LIMB;
  into.torque = -K * Math.sin(angle);
  return into;
};
/** Both sides open, so that nothing stops the pendulum. */
const wide = (drive: JointDrive): JointDrive => ({ ...drive, range: { from: rad(-3), to: rad(3) } });
const ROTOR = 22 ** 2 * 3e-4;

describe('closed forms', () => {
  test('frictionless and open it takes a quarter of the stretched period to the middle', () => {
    const quarter = (Math.PI / 2) * Math.sqrt((LIMB + ROTOR) / K) * periodStretch(rad(1.2));
    const swing = unpoweredSwing(wide(lossless), 'open', pendulum, {
      angle: 1.2,
      velocity: 0,
      time: 2 * quarter,
      extended: 0,
    });
    near(swing.reached, quarter, 1e-5);
    near(swing.left, -1.2, 1e-5);
  });

  test('let go while it still moves away, it turns twice and is back after a period', () => {
    const period = 2 * Math.PI * Math.sqrt((LIMB + ROTOR) / K);
    for (const velocity of [1e-3, -4e-3]) {
      const swing = unpoweredSwing(wide(lossless), 'open', pendulum, {
        angle: 3e-4,
        velocity,
        time: period,
        extended: -1,
      });
      expect(Math.abs(swing.left - 3e-4)).toBeLessThan(1e-4 * 3e-4);
    }
  });

  test('a short without inductance is a damper: small creeping swing as the sum of two exponentials', () => {
    const drive = wide({ ...lossless, motor: { ...lossless.motor, inductanceD: 1e-12, inductanceQ: 1e-12 } });
    const inertia = LIMB + ROTOR;
    for (const added of [0, 0.72, 2]) {
      const b = (22 ** 2 * 1.5 * 14 ** 2 * 0.007 ** 2) / (0.08 + added);
      const root = Math.sqrt(Math.abs(b * b - 4 * K * inertia));
      const decay = -b / (2 * inertia);
      const time = 0.35;
      const phase = (root * time) / (2 * inertia);
      // x(0) = A, ẋ(0) = 0
      const form =
        b * b > 4 * K * inertia
          ? Math.cosh(phase) + (b / root) * Math.sinh(phase)
          : Math.cos(phase) + (b / root) * Math.sin(phase);
      const swing = unpoweredSwing(drive, added, pendulum, { angle: 1e-4, velocity: 0, time, extended: 0 });
      near(swing.left / 1e-4, Math.exp(decay * time) * form, 1e-6);
    }
  });

  test('Coulomb friction: the other side of a large swing', () => {
    const drive = wide({
      ...lossless,
      transmission: { ...lossless.transmission, outputCoulomb: 0.45, outputBreakaway: 0.45 },
    });
    const time = 0.8 * Math.PI * 2 * Math.sqrt((LIMB + ROTOR) / K);
    const swing = unpoweredSwing(drive, 'open', pendulum, { angle: 1.2, velocity: 0, time, extended: 0 });
    near(Math.min(...swing.angle), -coulombPeak(K, 0.45, rad(1.2)), 2e-4);
  });

  test('the mesh takes its part on the way down with η_b, on the way up with η_f', () => {
    const drive = wide({
      ...lossless,
      transmission: { ...lossless.transmission, backDrivenEfficiency: 0.8, drivingEfficiency: 0.7 },
    });
    const down = LIMB + ROTOR / 0.8;
    const up = LIMB + ROTOR * 0.7;
    const time = (Math.PI / 2) * (Math.sqrt(down / K) + Math.sqrt(up / K));
    const swing = unpoweredSwing(drive, 'open', pendulum, { angle: 1e-3, velocity: 0, time, extended: 0 });
    near(swing.reached, (Math.PI / 2) * Math.sqrt(down / K), 1e-5);
    // ½·down·v² = ½·K·A_0² at the middle, ½·up·v² = ½·K·A_1² beyond
    near(swing.left / 1e-3, -Math.sqrt(up / down), 1e-5);
  });
});

test('second route: limb, rotor and dq currents integrated together agree, the currents’ own settling included', () => {
  const { motor, transmission: t } = lossy;
  const drive = wide(lossy);
  for (const added of [0, 0.3, 0.72]) {
    const R = motor.resistance + added;
    let [x, v, d, q, time] = [1.1, 0, 0, 0, 0];
    const h = 2e-6;
    while (time < 0.35) {
      // motion is toward zero: s = −1 throughout, limb driving
      const w = 14 * 22 * v;
      const electric = 1.5 * 14 * 0.007 * q; // on the shaft, in the direction of positive angle
      const drag = v < 0 ? motor.coulombDrag + motor.viscousDrag * 22 * -v : 0;
      const shaft = 22 * (drag + electric);
      v += (h * (-K * Math.sin(x) + shaft / 0.93 + 0.1)) / (LIMB + ROTOR / 0.93);
      x += h * v;
      d += (h * (-R * d + w * 90e-6 * q)) / 90e-6;
      q += (h * (-R * q - w * (90e-6 * d + 0.007))) / 90e-6;
      time += h;
    }
    expect(v).toBeLessThan(0);
    const swing = unpoweredSwing(drive, added, pendulum, {
      angle: 1.1,
      velocity: 0,
      time: 0.35,
      extended: 0,
    });
    expect(Math.abs(swing.left - x)).toBeLessThan(added === 0 ? 1e-3 : 5e-3);
    expect(t.backDrivenEfficiency).toBe(0.93);
  }
});

test('within the dead angle it stays, a spring can pull it out of there, and the stop ends its way', () => {
  const breakaway = (22 * 0.03) / 0.93 + 0.12;
  const dead = Math.asin(breakaway / K);
  const at = (angle: number, drive = wide(lossy)) =>
    unpoweredSwing(drive, 'open', pendulum, { angle, velocity: 0, time: 1, extended: 0 });
  expect(at(dead * 0.999).left).toBe(dead * 0.999);
  expect(at(dead * 0.999).reached).toBe(Number.POSITIVE_INFINITY);
  expect(at(dead * 1.001).left).toBeLessThan(dead * 1.001);
  const sprung: JointDrive = {
    ...wide(lossy),
    parallelSpring: { stiffness: 5, equilibrium: rad(0), engaged: { from: rad(-1), to: rad(1) } },
  };
  expect(at(dead * 0.999, sprung).left).toBeLessThan(dead * 0.9);
  const stopped: JointDrive = { ...lossy, range: { from: rad(0.2), to: rad(2) } };
  expect(at(1.1, stopped).left).toBe(0.2);
});
