import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import {
  coulombPeak,
  deadAngle,
  frictionFromPeaks,
  legAboutKnee,
  periodStretch,
  smallSwing,
  swingPeaks,
} from './free-swing.ts';
import { near } from './test-motor.ts';

// Bjelonic and others, arXiv 2509.06342 (2025), appendix on pendulum identification: shank m 0.4803 kg, r 0.25 ± 0.01 m, f 0.88 ± 0.03 Hz.
test('DRV-R5 inertia from a swing, printed 0.0085 ± 0.0028 kg·m²', () => {
  const about = (r: number, f: number) => (0.4803 * r * 9.806) / (2 * Math.PI * f) ** 2;
  near(about(0.25, 0.88), 0.0385141);
  const own = about(0.25, 0.88) - 0.4803 * 0.25 ** 2;
  near(own, 0.0085, 6e-4);
  // K = m·g·r, J = I_P, no friction: our pendulum swings at the f that was put in
  near(
    Math.PI /
      smallSwing({ inertia: about(0.25, 0.88), viscous: 0, coulomb: 0, gravity: 0.4803 * 9.806 * 0.25 })
        .halfPeriod,
    2 * Math.PI * 0.88,
    1e-12,
  );
  const dr = (about(0.26, 0.88) - about(0.24, 0.88)) / 0.02 - 2 * 0.4803 * 0.25;
  const df = (about(0.25, 0.881) - about(0.25, 0.879)) / 0.002;
  near(Math.hypot(dr * 0.01, df * 0.03), 0.0028, 2e-2);
});

const R6 = { inertia: 0.35, viscous: 0.2, coulomb: 0.45, gravity: 12 };
const R6_PEAKS = [0.6, 0.444968, 0.311994, 0.197939, 0.100112, 0.016203];

test('DRV-R6 free swing: recursion, and integration of the equation of motion', () => {
  const s = smallSwing(R6);
  near(s.naturalFrequency, 5.8554);
  near(s.dampingRatio, 0.048795);
  near(s.decrement, 0.153477);
  near(s.halfPeriod, 0.537169);
  const peaks = swingPeaks(R6, rad(0.6));
  expect(peaks).toHaveLength(6);
  peaks.forEach((a, k) => {
    expect(a).toBeCloseTo(R6_PEAKS[k], 6);
  });
  // RK4 over each half swing, friction against the motion
  let a = 0.6;
  for (let k = 1; k < 6; k++) {
    let [x, v] = [a, -1e-12];
    const h = 1e-4;
    const f = (p: number, w: number): [number, number] => [w, (-0.2 * w + 0.45 - 12 * p) / 0.35];
    let before = v;
    while (v < 0) {
      before = v;
      const k1 = f(x, v);
      const k2 = f(x + (h / 2) * k1[0], v + (h / 2) * k1[1]);
      const k3 = f(x + (h / 2) * k2[0], v + (h / 2) * k2[1]);
      const k4 = f(x + h * k3[0], v + h * k3[1]);
      x += (h / 6) * (k1[0] + 2 * k2[0] + 2 * k3[0] + k4[0]);
      v += (h / 6) * (k1[1] + 2 * k2[1] + 2 * k3[1] + k4[1]);
    }
    expect(before).toBeLessThan(0);
    a = -x;
    expect(Math.abs(a - R6_PEAKS[k])).toBeLessThan(2e-6);
  }
  // closed form A_k = (A_0 + c·coth(δ/2))·e^{−kδ} − c·coth(δ/2)
  const lift = 0.0375 / Math.tanh(s.decrement / 2);
  peaks.forEach((p, k) => {
    expect(p).toBeCloseTo((0.6 + lift) * Math.exp(-k * s.decrement) - lift, 12);
  });
  const back = frictionFromPeaks(peaks[0], peaks[1], peaks[2]);
  near(back.dampingRatio, s.dampingRatio, 1e-9);
  near(back.deadBand, 0.0375, 1e-9);
});

test('DRV-R7 large swing with Coulomb friction, and the stretch of its period', () => {
  const a1 = coulombPeak(12, 0.45, rad(1.2));
  near(a1, 1.105364);
  near(12 * (Math.cos(a1) - Math.cos(1.2)), 0.45 * (1.2 + a1), 1e-12);
  near(periodStretch(rad(1.2)), 1.09821);
  // series of the elliptic integral (Abramowitz & Stegun 17.3.11): 1 + m/4 + 9m²/64 + 25m³/256 + 1225m⁴/16384 + 3969m⁵/65536 + …
  const m = Math.sin(0.3) ** 2;
  near(
    periodStretch(rad(0.6)),
    1 + m / 4 + (9 * m ** 2) / 64 + (25 * m ** 3) / 256 + (1225 * m ** 4) / 16384,
    1e-5,
  );
});

test('dead angle of an ordinary shank and foot: 1 N·m is 6°, 3 N·m 17°', () => {
  const cut = (m: number, i: number, l: number, x: number, z: number) => ({
    mass: m,
    inertia: i,
    length: l,
    centre: { x, z },
  });
  const shank = cut(3.2, 0.048, 0.43, 0.015, -0.16);
  const foot = cut(1.1, 0.0065, 0, 0.045, -0.045);
  const leg = legAboutKnee({ thighLength: 0.42, thighPart: shank, shank, foot, sole: [] });
  const deg = (t: number) => (deadAngle(t, leg.massMoment * 9.81) * 180) / Math.PI;
  expect(Math.round(deg(1))).toBe(6);
  expect(Math.round(deg(3))).toBe(17);
  expect(deadAngle(leg.massMoment * 9.81, leg.massMoment * 9.81)).toBeNaN();
  expect(deadAngle(20, leg.massMoment * 9.81)).toBeNaN();
});

test('without viscous friction the peaks fall by 2c a half swing, and breakaway stops them sooner', () => {
  const dry = { inertia: 0.35, viscous: 0, coulomb: 0.48, gravity: 12 };
  const peaks = swingPeaks(dry, rad(0.5));
  [0.5, 0.42, 0.34, 0.26, 0.18, 0.1, 0.02].forEach((want, k) => {
    expect(peaks[k]).toBeCloseTo(want, 12);
  });
  expect(peaks).toHaveLength(7);
  expect(swingPeaks({ ...dry, breakaway: 12 * 0.2 }, rad(0.5))).toHaveLength(5);
});

test('damped beyond creeping there is no half period and no second peak', () => {
  const stiff = { inertia: 0.1, viscous: 5, coulomb: 0, gravity: 10 };
  expect(smallSwing(stiff).halfPeriod).toBeNaN();
  expect(swingPeaks(stiff, rad(0.5))).toEqual([0.5]);
});

test('peaks that grow have no friction to tell', () => {
  expect(frictionFromPeaks(0.5, 0.6, 0.4)).toEqual({ dampingRatio: Number.NaN, deadBand: Number.NaN });
});
