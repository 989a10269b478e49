// Check cases of the motor and the reduction. Where a value is printed by a publication, its source stands beside it; the others
// are hand calculations, each met here by a second route as well.
import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { breakawayTorque, dynamicBackDriveTorque } from './back-drive.ts';
import {
  coulombPeak,
  deadAngle,
  frictionFromPeaks,
  legAboutKnee,
  periodStretch,
  smallSwing,
  swingPeaks,
} from './free-swing.ts';
import { steadyFriction } from './friction.ts';
import { effectiveMass, hardStopTorque, impact } from './impact.ts';
import type { Motor, Transmission } from './leg-drive.ts';
import {
  currentFor,
  fluxFactor,
  motorConstantFactor,
  resistanceFactor,
  runningDrag,
  torqueOf,
} from './motor-torque.ts';
import { admissibleRatios, optimumRatio, rmsAtRatio } from './ratio-optimum.ts';
import { reflectedInertia } from './reflected-inertia.ts';
import { constantSignature, fluxLinkageFrom, motorConstant, motorConstants } from './torque-constant.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

/** Relative 1e-4 as the checks print, or tighter. */
const near = (got: number, want: number, relative = 1e-4) =>
  expect(Math.abs(got / want - 1), `${got} against ${want}`).toBeLessThan(relative);

const motor: Motor = {
  name: 'check',
  polePairs: 14,
  fluxLinkage: 0.007,
  resistance: 0.08,
  referenceTemperature: 293.15,
  inductanceD: 90e-6,
  inductanceQ: 90e-6,
  rotorInertia: 3e-4,
  copperCoefficient: 0.00393,
  magnetCoefficient: -0.0012,
  coulombDrag: 0.022,
  viscousDrag: 1.5e-4,
  breakawayDrag: 0.03,
  peakCurrent: 60,
  mass: 0.5,
};
const transmission: Transmission = {
  ratio: 16,
  inputInertia: 0,
  outputInertia: 0,
  drivingEfficiency: 0.93,
  backDrivenEfficiency: 0.93,
  outputCoulomb: 0.1,
  outputViscous: 0,
  outputBreakaway: 0.12,
  backlash: rad(0),
  torsionalStiffness: 900,
};

test('DRV-M1 one flux linkage, every data sheet', () => {
  const c = motorConstants(0.007, 14);
  near(c.kePhasePeak, 0.098);
  near(c.keLinePeak, 0.169741);
  near(c.keLineRms, 0.120025);
  near(c.ktPerPhasePeak, 0.147);
  near(c.ktPerPhaseRms, 0.207889);
  near(c.ktSixStep, 0.162091);
  near(c.kvRpm, 56.2581);
  near(motorConstant(c.ktPerPhasePeak, 0.08), 0.424352);
  near(torqueOf(motor, 30), 4.41);
  // second route: torque is electrical power over speed. Three phases of e·i/2 peak each: 3·(pλω)·î/2 ÷ ω
  near(torqueOf(motor, 30), (3 * c.kePhasePeak * 30) / 2, 1e-12);
  // K_t and K_v tied by conversion of units alone: 8.26993, 11.69545, 9.54930 over K_v
  near(c.ktPerPhasePeak * c.kvRpm, 8.26993, 1e-6);
  near(c.ktPerPhaseRms * c.kvRpm, 11.69545, 1e-6);
  near(c.ktDcEquivalent * c.kvRpm, 9.5493, 1e-6);
  for (const [convention, value] of [
    ['perPhasePeak', c.ktPerPhasePeak],
    ['perPhaseRms', c.ktPerPhaseRms],
    ['dcEquivalent', c.ktDcEquivalent],
  ] as const) {
    near(fluxLinkageFrom({ convention, value }, 14), 0.007, 1e-12);
  }
});

// A published 6:1 bench actuator, values as its open documentation prints them (drive at 24 V, K_v 100, R line-to-line).
test('DRV-M2 a published 6:1 actuator: printed motor constant, torques, no-load speed', () => {
  const kt = 0.091;
  near(kt / Math.sqrt(0.17), 0.2206, 6e-4); // printed 0.2206, dc-equivalent over √R_LL
  near(motorConstant((Math.sqrt(3) / 2) * kt, 0.17 / 2), kt / Math.sqrt(0.17), 1e-12); // the same by phase values
  near(kt * 12, 1.092);
  near(kt * 24, 2.184);
  near(24 / 0.0954929659, 251.33, 1e-4); // printed 251.2
  near(36 * 6.0719e-5, 2.1859e-3);
  near(0.057e-3 / 0.17, 0.3353e-3);
});

test('DRV-M2c its K_t and K_v disagree by 5 %: below the flag, and the sum is right', () => {
  const fromKv = 9.5492966 / 100;
  expect(constantSignature(0.091, fromKv).agrees).toBe(true);
  near(fromKv / 0.091 - 1, 0.0494, 2e-2);
});

test('DRV-M2d its printed output of 12 N·m is 0.916 of current × constant × ratio', () => {
  near(24 * 0.091 * 6, 13.104);
  near(12 / (24 * 0.091 * 6), 0.9158);
  near(251.327 / 6, 41.888);
});

test('DRV-M3 the four traps', () => {
  const c = motorConstants(0.007, 14);
  const km = motorConstant(c.ktPerPhasePeak, 0.08);
  const line = 0.16;
  near(c.ktPerPhaseRms / Math.sqrt(line) / km, 1.224745);
  near(c.ktPerPhasePeak / Math.sqrt(0.08) / km, 1.224745);
  near(c.ktPerPhaseRms / Math.sqrt(0.08) / km, 1.732051);
  near(c.ktDcEquivalent / Math.sqrt(0.08) / km, 1.414214);
});

test('DRV-M4 a printed K_v of 300 through a 9:1 reduction gives 0.84 of the printed torque', () => {
  // Published open actuator: K_v 300, 12 A, 9:1, 2.5 N·m
  const flux = fluxLinkageFrom({ convention: 'dcEquivalent', value: 9.5492966 / 300 }, 1);
  const kt = motorConstants(flux, 1).ktPerPhasePeak;
  near(kt, 0.0275664);
  near(kt * 12 * 9, 2.97718);
  near(2.5 / (kt * 12 * 9), 0.83972);
});

test('DRV-M5 a published 7.75:1 servo: only rms K_t with a peak ampere fits its own torque', () => {
  const perRpm = 60 / (2 * Math.PI);
  for (const [ke, kt] of [
    [0.054, 0.89315],
    [0.057, 0.94277],
  ] as const)
    near(Math.sqrt(3) * ke * perRpm, kt);
  near((0.87 * 6.5) / Math.SQRT2, 3.99869);
});

test('DRV-M6 voltage limit: closed form and the voltage circle itself', () => {
  const V = phaseVoltageLimit(36, { modulation: 'spaceVector', voltageMargin: 0.95 });
  near(V, 19.74538);
  for (const [i, w] of [
    [0, 201.4835],
    [20, 179.7816],
    [40, 152.8608],
    [60, 127.0564],
    [-40, 204.507],
  ] as const) {
    const speed = speedLimit(motor, V, i);
    near(speed, w);
    const we = 14 * speed;
    near(Math.hypot(we * 90e-6 * i, 0.08 * i + we * 0.007), V, 1e-12);
  }
  expect(speedLimit(motor, V, 300)).toBeNaN();
});

test('DRV-M8 temperature: 0.00393 per kelvin from 20 to 120 °C, a printed magnet grade, and K_m hot', () => {
  near(resistanceFactor(motor, 393.15), 1.393);
  near(resistanceFactor(motor, 393.15), (234.5 + 120) / 254.5, 1e-4); // the other way copper is printed
  // Maker's table, N48SH: B_r 13.82 → 11.69 kG from 20 to 150 °C, printed −0.119 %/K
  const alpha = (11.69 / 13.82 - 1) / 130;
  near(alpha, -0.0011856);
  near(fluxFactor({ ...motor, magnetCoefficient: alpha }, 423.15), 11.69 / 13.82, 1e-12);
  near((6.29 / 21.06 - 1) / 130, -0.0053948);
  near(motorConstantFactor(motor, 393.15, 353.15), 0.786271);
});

test('DRV-M9 saturation forward and back; beyond it no current gives the torque', () => {
  const saturating = { ...motor, saturationCurrent: 90 };
  near(torqueOf(saturating, 60), 7.33868);
  near(currentFor(saturating, 6), 45.7968);
  near(torqueOf(saturating, currentFor(saturating, 11)), 11, 1e-12);
  expect(currentFor(saturating, 0.147 * 90)).toBeNaN();
});

test('DRV-M10 no-load drag', () => {
  const light = { ...motor, coulombDrag: 0.02, viscousDrag: 1.2e-4 };
  near(runningDrag(light, 200), 0.044);
  near(runningDrag(light, -200) * 200, 8.8);
  near(runningDrag(light, 200) / 0.147, 0.29932);
});

const W = 2 * Math.PI * 0.9;
const cycle = (f: (t: number) => number) => {
  let sum = 0;
  for (let i = 0; i < 20_000; i++) sum += f(((i + 0.5) / 20_000) * (1 / 0.9));
  return sum / 20_000;
};
const torqueAt = (t: number) => 45 * Math.sin(W * t + (160 * Math.PI) / 180);
const speedAt = (t: number) => 0.55 * W * Math.cos(W * t);
const accelerationAt = (t: number) => -0.55 * W * W * Math.sin(W * t);
const means = {
  torqueSquare: cycle((t) => torqueAt(t) ** 2),
  accelerationSquare: cycle((t) => accelerationAt(t) ** 2),
  product: cycle((t) => torqueAt(t) * accelerationAt(t)),
};

test('DRV-R1 optimum ratio, and no other ratio does better', () => {
  near(means.torqueSquare, 1012.5);
  near(means.accelerationSquare, 154.6625);
  near(means.product, 371.857);
  const best = optimumRatio(means, 3e-4);
  near(best, 92.3511);
  near(rmsAtRatio(means, 3e-4, best), 0.678636);
  near(rmsAtRatio(means, 3e-4, 18), 1.831017);
  const brute = Array.from({ length: 4000 }, (_, i) => rmsAtRatio(means, 3e-4, 50 + i / 40));
  expect(Math.min(...brute)).toBeGreaterThanOrEqual(rmsAtRatio(means, 3e-4, best));
  // straight from the definition
  near(Math.sqrt(cycle((t) => (18 * 3e-4 * accelerationAt(t) + torqueAt(t) / 18) ** 2)), 1.831017);
});

test('DRV-R2 admissible ratios meet the limit at both ends', () => {
  const range = admissibleRatios(means, 3e-4, 2.2)!;
  near(range.least, 14.8138);
  near(range.largest, 575.728);
  near(rmsAtRatio(means, 3e-4, range.least), 2.2, 1e-9);
  near(rmsAtRatio(means, 3e-4, range.largest), 2.2, 1e-9);
  expect(admissibleRatios(means, 3e-4, 0.6)).toBeNull();
});

test('DRV-R3 mesh loss by direction moves the optimum', () => {
  const g = (t: number) => (torqueAt(t) * speedAt(t) > 0 ? 1 / 0.92 : 0.91);
  expect(Math.abs(cycle((t) => (torqueAt(t) * speedAt(t) > 0 ? 1 : 0)) - 0.6111)).toBeLessThan(0.001);
  const lossy = {
    torqueSquare: cycle((t) => (g(t) * torqueAt(t)) ** 2),
    accelerationSquare: means.accelerationSquare,
    product: cycle((t) => g(t) * torqueAt(t) * accelerationAt(t)),
  };
  expect(Math.abs(lossy.torqueSquare - 1093.67)).toBeLessThan(0.3);
  expect(Math.abs(optimumRatio(lossy, 3e-4) - 94.149)).toBeLessThan(0.01);
  near(rmsAtRatio(lossy, 3e-4, 15), 2.25634);
});

// Bjelonic and others (2025), hip drive of a legged robot, N = 5.6: (1.14 rotor + 0.511 sun + 0.00203 planets + 0.00146 shaft)·10⁻² kg·m².
test('DRV-R4 a published decomposition of reflected inertia', () => {
  const rotor = 1.14e-2 / 5.6 ** 2;
  near(rotor, 3.6352e-4);
  const got = reflectedInertia(
    { ...motor, rotorInertia: rotor },
    {
      ...transmission,
      ratio: 5.6,
      inputInertia: 0.511e-2 / 5.6 ** 2,
      outputInertia: 0.00203e-2 + 0.00146e-2,
    },
  );
  near(got, 1.65449e-2);
  near(1.04 / (5.6 * 0.59) ** 2, 0.0952694);
  near(got + 0.503 * 0.273 ** 2 + 1.8e-4 + 8.67e-3, 6.27e-2, 5e-3); // printed 6.27·10⁻² in all
});

// The same publication, appendix on pendulum identification: shank m 0.4803 kg, r 0.25 ± 0.01 m, f 0.88 ± 0.03 Hz.
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

test('DRV-R8 LuGre, steady sliding', () => {
  const f = steadyFriction(
    { coulomb: 1, breakaway: 1.5, stribeckSpeed: 0.001, bristleStiffness: 1e5, viscous: 0.4 },
    0.002,
  );
  near(f.level, 1.009158, 1e-6);
  near(f.force, 1.009958, 1e-6);
  near(f.bristle, 1.009158e-5, 1e-6);
});

test('DRV-R9 back-drive torque: inertia and motor drag pass the mesh', () => {
  near(reflectedInertia(motor, transmission), 0.0768);
  near(breakawayTorque(motor, transmission), 0.636129);
  near(dynamicBackDriveTorque(motor, transmission, 3, 40), 3.906, 2e-4);
  // second route: power. What the hand gives = stored in the rotor + motor drag + mesh loss + output friction
  const shaft = 3e-4 * 16 * 40 + 0.022 + 1.5e-4 * 16 * 3;
  const mesh = (shaft * 16 * 3) / 0.93;
  near(dynamicBackDriveTorque(motor, transmission, 3, 40) * 3, mesh + 0.1 * 3, 1e-12);
  // slowing down the rotor gives back only what the mesh lets through
  const slowing = 3e-4 * 16 * -40 + 0.022 + 1.5e-4 * 16 * 3;
  near(dynamicBackDriveTorque(motor, transmission, 3, -40), 16 * slowing * 0.93 + 0.1, 1e-12);
});

test('DRV-R10 loss proportional to load: η_b = 2 − 1/η_f', () => {
  for (const [forward, back] of [
    [0.9, 0.888889],
    [0.8, 0.75],
  ] as const)
    near(2 - 1 / forward, back);
});

test('DRV-R11 effective mass and impact', () => {
  const m = effectiveMass(0.12, 0.0768, 0.4);
  near(m, 1.23);
  near(effectiveMass(0.12, 0, 0.4), 0.75);
  near(impact(m, Number.POSITIVE_INFINITY, 8000, 1.2).force, 119.036);
  near(impact(0.75, Number.POSITIVE_INFINITY, 8000, 1.2).force, 92.952);
  near(impact(m, 4, 8000, 1.2).force, 104.102);
  near(impact(m, Number.POSITIVE_INFINITY, 8000, 1.2).time, 19.477e-3);
});

test('DRV-R12 hard stop: the rotor’s energy in the gears', () => {
  const torque = hardStopTorque(900, 0.0768, 3);
  near(torque, 24.9415);
  near(torque ** 2 / (2 * 900), 0.3456);
  near(torque ** 2 / (2 * 900), 0.5 * 0.0768 * 9, 1e-12);
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
  expect(deadAngle(20, leg.massMoment * 9.81)).toBeNaN();
});

test('a wrong convention leaves its signature', () => {
  expect(constantSignature(0.147 * Math.SQRT2, 0.147).confusion).toMatch(/^√2/);
  expect(constantSignature(Math.sqrt(3) * 0.1, 0.1).confusion).toMatch(/^√3/);
  expect(constantSignature(0.5, 0.1)).toMatchObject({ agrees: false });
  expect(() => fluxLinkageFrom({ value: 0.022 } as never, 14)).toThrow(
    'A torque constant without its convention is not a constant. Say per which ampere: perPhasePeak (peak phase current), perPhaseRms (rms phase current) or dcEquivalent (six-step drive).',
  );
});
