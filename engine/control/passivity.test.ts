import { describe, expect, test } from 'vitest';
import { largestPassiveStiffness, neededDamping, passivity, passivityGrids } from './passivity.ts';
import { renderedImpedance } from './rendered-impedance.ts';
import { filterPole, type SampledJoint } from './sampled-joint.ts';
import { JOINT } from './test-joint.ts';

const joint = (delays: number, cutoff: number | undefined): SampledJoint => ({
  ...JOINT,
  delay: delays * JOINT.period,
  filterPole: cutoff === undefined ? 0 : filterPole(cutoff, JOINT.period),
});
const need = (of: SampledJoint, stiffness: number, damping: number) =>
  neededDamping(passivityGrids(of)[0]!, { stiffness, damping });

describe('CTL-IMP-3 damping that passivity needs', () => {
  // computed independently with NumPy on a grid of its own
  test.each([
    [200, 4, 0, undefined, 4.1, 1],
    [200, -4, 0, undefined, 4.1, 0],
    [200, 4, 0, 60, 0.845177542, 1],
    [200, 0, 1, undefined, 0.3, 0],
    [200, 4, 1, undefined, 4.10125, 0.496],
    [200, 4, 1, 60, 1.56636673, 0.3076],
    [800, 0, 0, undefined, 0.4, 0],
  ])('K %f, B %f, %f periods, filter %s Hz', (K, B, d, cutoff, damping, at) => {
    const got = need(joint(d, cutoff), K, B);
    expect(Math.abs(got.damping - damping)).toBeLessThan(2e-6);
    // flat near the top: the place is known less well than the height; a spring without delay needs the same everywhere
    if (B !== 0 || d !== 0) expect(Math.abs(got.frequency / 500 - at)).toBeLessThan(2e-3);
  });

  test('closed forms: K·T/2 + |B|, K·T·(2d + 1)/2, K·T/2 + B·(1 − a)/(1 + a)', () => {
    const [K, T] = [317, 1e-3];
    for (const B of [0.3, 2, -2]) {
      const got = need(joint(0, undefined), K, B).damping;
      expect(Math.abs(got - ((K * T) / 2 + Math.abs(B)))).toBeLessThan(1e-9);
    }
    for (const d of [0, 1, 2, 3])
      expect(Math.abs(need(joint(d, undefined), K, 0).damping - (K * T * (2 * d + 1)) / 2)).toBeLessThan(
        1e-9,
      );
    const a = filterPole(60, T);
    const filtered = need(joint(0, 60), K, 5).damping;
    expect(Math.abs(filtered - ((K * T) / 2 + (5 * (1 - a)) / (1 + a)))).toBeLessThan(1e-9);
  });
});

/**
 * Energy, J, that a hand puts in over a closed motion, straight from sample to sample, with damping b: the condition re-derived. The law
 * and its delay run sample by sample; nothing of the condition's formula is used.
 */
function given(angles: readonly number[], of: SampledJoint, K: number, B: number, b: number): number {
  const { period: T, filterPole: a } = of;
  const asked = new Array<number>(Math.round(of.delay / T)).fill(0);
  let [energy, before, speed] = [0, 0, 0];
  for (let k = 0; k + 1 < angles.length; k++) {
    const [x, move] = [angles[k]!, angles[k + 1]! - angles[k]!];
    speed = a * speed + ((1 - a) * (x - before)) / T;
    before = x;
    asked.push(K * x + B * speed);
    energy += asked.shift()! * move + (b * move * move) / T;
  }
  return energy;
}

test.each([
  [0, 60],
  [1, 60],
  [1, undefined],
])(
  '%f periods of delay, filter %s Hz: below the need the worst motion takes energy out, above it none does',
  (d, cutoff) => {
    const of = joint(d, cutoff);
    const { damping, frequency } = need(of, 200, 4);
    const at = 2 * frequency * of.period;
    const worst = [0, ...Array.from({ length: 8000 }, (_, k) => Math.sin(Math.PI * at * (k + 0.5))), 0];
    expect(given(worst, of, 200, 4, 0.97 * damping)).toBeLessThan(0);
    expect(given(worst, of, 200, 4, 1.03 * damping)).toBeGreaterThan(0);
    let x = 5;
    const next = (): number => {
      x = (x * 48271) % 2147483647;
      return x / 2147483647 - 0.5;
    };
    for (let trial = 0; trial < 200; trial++) {
      const angles = [0, ...Array.from({ length: 60 }, next), ...new Array<number>(200).fill(0)];
      expect(given(angles, of, 200, 4, 1.01 * damping)).toBeGreaterThan(0);
    }
  },
);

test('stable and not passive: 200 N·m/rad and 4 N·m·s/rad on a joint that damps by 0.25', () => {
  const { passive, needed, own } = passivity(JOINT, { stiffness: 200, damping: 4 });
  expect(passive).toBe(false);
  expect(own).toBe(0.25);
  expect(needed.damping).toBeGreaterThan(1.5);
  expect(passivity({ ...JOINT, rotorDamping: 3 }, { stiffness: 200, damping: 4 }).passive).toBe(true);
});

test('a part of a period of delay counts as the worse of the whole numbers beside it', () => {
  const gains = { stiffness: 200, damping: 0 };
  const at = (delay: number): number => passivity({ ...JOINT, currentLag: 0, delay }, gains).needed.damping;
  expect(at(1.4e-3)).toBe(at(2e-3));
});

test('the current loop’s lag asks for more: just enough, and no rendered damping is negative up to 0.4 of the sample rate', () => {
  const gains = { stiffness: 200, damping: 0 };
  const lagging = { ...JOINT, currentLag: 3e-3 };
  const { needed } = passivity(lagging, gains);
  expect(needed.damping).toBeGreaterThan(1.1 * passivity({ ...JOINT, currentLag: 0 }, gains).needed.damping);
  const least = (rotorDamping: number): number => {
    let found = Number.POSITIVE_INFINITY;
    for (let f = 0.1; f < 400; f += 0.1)
      found = Math.min(found, renderedImpedance({ ...lagging, rotorDamping }, gains, f).damping);
    return found;
  };
  expect(least(1.01 * needed.damping)).toBeGreaterThan(0);
  expect(least(0.99 * needed.damping)).toBeLessThan(0);
});

test('largest passive stiffness: passive just below, not above; none where the joint damps too little', () => {
  const joint = { ...JOINT, rotorDamping: 3 };
  for (const damping of [0, 2, 6]) {
    const stiffness = largestPassiveStiffness(joint, damping);
    expect(passivity(joint, { stiffness: 0.999 * stiffness, damping }).passive).toBe(true);
    expect(passivity(joint, { stiffness: 1.001 * stiffness, damping }).passive).toBe(false);
  }
  expect(largestPassiveStiffness(JOINT, 4)).toBeNaN();
});
