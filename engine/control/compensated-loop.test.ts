import { describe, expect, test } from 'vitest';
import { compensatedLoop } from './compensated-loop.ts';
import { type Load, loopPolynomial } from './loop-polynomial.ts';
import { largestStableStiffness, stable } from './loop-stability.ts';
import { impedanceBandwidth, renderedImpedance, renderedInertia, slowReading } from './rendered-impedance.ts';
import { filterPole, type SampledJoint } from './sampled-joint.ts';
import { growth, handTorque, JOINT } from './test-joint.ts';

const gains = { stiffness: 200, damping: 4 };
const within = (got: number, want: number, relative: number): void => {
  expect(Math.abs(got / want - 1), `${got} for ${want}`).toBeLessThan(relative);
};

describe('inertia taken off by measured motion', () => {
  // the law sample by sample, written apart from the formula: first harmonic of the torque that a hand needs
  test.each([2, 5, 10, 20])('rendered at %f Hz as the sampled loop in time has it', (f) => {
    const [w, amplitude, compensated] = [2 * Math.PI * f, 0.01, 0.03];
    const [settle, count] = [Math.ceil(f), 2];
    const { dt, torque } = handTorque({
      ...{ joint: JOINT, ...gains, compensated, duration: (settle + count) / f, fine: 20 },
      angle: (t) => amplitude * Math.sin(w * t),
    });
    let [re, im, n] = [0, 0, 0];
    for (let i = Math.round(settle / f / dt); i < torque.length; i++) {
      const t = (i + 0.5) * dt;
      re += torque[i] * Math.sin(w * t);
      im += torque[i] * Math.cos(w * t);
      n++;
    }
    const got = renderedImpedance(JOINT, gains, f, undefined, compensated);
    const [sawRe, sawIm] = [(2 * re) / n / amplitude, (2 * im) / n / amplitude];
    const size = Math.hypot(got.stiffness, w * got.damping);
    expect(Math.hypot(sawRe - got.stiffness, sawIm - w * got.damping) / size).toBeLessThan(1e-3);
  });

  test('a loop without delay takes off just that; a late one leaves inertia and takes damping', () => {
    const prompt: SampledJoint = { ...JOINT, period: 1e-7, delay: 0, currentLag: 0, filterPole: 0 };
    for (const f of [1, 10]) {
      const w = 2 * Math.PI * f;
      const got = renderedImpedance(prompt, gains, f, undefined, 0.03);
      within(got.stiffness, 200 - (0.045 - 0.03) * w * w, 1e-4);
      within(got.damping, 4.25, 1e-3);
    }
    const at = (compensated: number) => renderedImpedance(JOINT, gains, 10, undefined, compensated);
    expect(at(0.03).damping).toBeLessThan(at(0).damping);
    expect(at(0.03).stiffness - at(0).stiffness).toBeLessThan(0.03 * (2 * Math.PI * 10) ** 2);
  });

  test.each(['motor', 'joint'] as const)('slow motion of elastic gears, measured at the %s', (measuredAt) => {
    const joint = { ...JOINT, gearStiffness: 900, measuredAt, outputInertia: 0.01, outputDamping: 0.1 };
    const f = 0.1;
    const low = renderedImpedance(joint, gains, f, undefined, 0.03);
    const still = measuredAt === 'motor' ? (900 * 200) / 1100 : 200;
    const slow = slowReading(joint, gains, 0.03);
    within((still - low.stiffness) / (2 * Math.PI * f) ** 2, slow.inertia, 1e-3);
  });

  const elastic: SampledJoint = { ...JOINT, gearStiffness: 900, outputDamping: 0.02, outputInertia: 0.001 };
  const cases: readonly (readonly [string, SampledJoint, Load, number])[] = [
    ['rigid gears with a limb', JOINT, { inertia: 0.1 }, 0.02],
    ['a delay of one and a half periods', { ...JOINT, delay: 1.5e-3 }, { inertia: 0 }, 0.02],
    ['elastic gears, output held', elastic, 'held', 0.004],
    ['elastic gears with a limb', elastic, { inertia: 0.05 }, 0.004],
  ];
  test.each(cases)('%s: in time it dies out below the limit and grows above it', (_, joint, load, taken) => {
    const plain = loopPolynomial(joint, load)!;
    const limit = largestStableStiffness(
      compensatedLoop(plain, joint, taken),
      4,
      joint.rotorInertia / joint.period ** 2,
    );
    expect(limit).toBeGreaterThan(0);
    expect(growth(joint, 0.95 * limit, 4, load, taken)).toBeLessThan(1);
    expect(growth(joint, 1.05 * limit, 4, load, taken)).toBeGreaterThan(1);
    for (const stiffness of [0.5 * limit, 2 * limit]) {
      const gains = { stiffness, damping: 4 };
      expect(stable(compensatedLoop(plain, joint, 0), gains)).toBe(stable(plain, gains));
    }
  });

  test('elastic gears let no more be taken off than the delay bears: in time it grows, whatever the spring', () => {
    const loop = compensatedLoop(loopPolynomial(elastic, 'held')!, elastic, 0.02);
    for (const stiffness of [20, 200]) {
      expect(stable(loop, { stiffness, damping: 4 })).toBe(false);
      expect(growth(elastic, stiffness, 4, 'held', 0.02)).toBeGreaterThan(1);
    }
  });

  test('a heavy rotor keeps its stiffness further up; a filter that is slow leaves less of that', () => {
    const upTo = (compensated: number, cutoff: number) =>
      impedanceBandwidth(
        { ...JOINT, rotorInertia: 0.2, filterPole: filterPole(cutoff, 1e-3) },
        { requested: gains, software: gains, amplitude: Number.POSITIVE_INFINITY, compensated },
      );
    expect(upTo(0.1, 60)).toBeGreaterThan(1.2 * upTo(0, 60));
    expect(upTo(0.1, 8)).toBeLessThan(upTo(0.1, 60));
  });
});

test('inertia that is felt: of rigid gears without delay the joint’s own, in slow motion that of the reading', () => {
  const rendering = { requested: gains, software: gains };
  const prompt: SampledJoint = { ...JOINT, period: 1e-7, delay: 0, currentLag: 0, filterPole: 0 };
  for (const f of [1, 5, 20]) within(renderedInertia(prompt, rendering, f), 0.045, 1e-3);
  within(renderedInertia(JOINT, rendering, 0.1), slowReading(JOINT, gains).inertia, 1e-3);
  // mesh loss makes a spring stiffer and is no inertia
  const lossy = { ...JOINT, drivingEfficiency: 0.9, backDrivenEfficiency: 0.9 };
  within(renderedInertia(lossy, rendering, 5), renderedInertia(JOINT, rendering, 5), 1e-12);
});
