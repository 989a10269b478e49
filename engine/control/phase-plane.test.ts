import { expect, test } from 'vitest';
import { randomStream } from '../numeric/random.ts';
import {
  derivativePhase,
  derivativePhaseRate,
  integralPhase,
  integralPhaseRate,
  offsetPhaseError,
  pacePhaseError,
} from './phase-plane.ts';

const OMEGA = (2 * Math.PI) / 1.1;

// The angle of a complex number, computed independently with NumPy's angle().
test('CTL-PH-3 both forms at single instants', () => {
  for (const [thigh, rate, wanted] of [
    [0.28, -1.5, 0.9199135872387452],
    [0.08, -2.1, Math.PI / 2],
    [-0.22, 0.9, -2.6579800125709823],
  ] as const)
    expect(derivativePhase(thigh, rate, 0.08, OMEGA)).toBeCloseTo(wanted, 12);
  expect(integralPhase(0.28, 0.046, 0.08, OMEGA)).toBeCloseTo(0.9201809807577616, 12);
  expect(integralPhase(-0.22, -0.03, 0.08, OMEGA)).toBeCloseTo(-2.622619871120648, 12);
});

/** Thigh 0.36·cos p + A₂·cos(2p + 0.8) at unit frequency: value, rate, acceleration, integral. */
const thighAt = (a2: number, p: number) => ({
  x: 0.36 * Math.cos(p) + a2 * Math.cos(2 * p + 0.8),
  rate: -0.36 * Math.sin(p) - 2 * a2 * Math.sin(2 * p + 0.8),
  acceleration: -0.36 * Math.cos(p) - 4 * a2 * Math.cos(2 * p + 0.8),
  integral: 0.36 * Math.sin(p) + (a2 / 2) * Math.sin(2 * p + 0.8),
});

const N = 20000;
const wrapped = (a: number) => Math.atan2(Math.sin(a), Math.cos(a));
const spread = (phase: (p: number) => number): number => {
  const error = Array.from({ length: N }, (_, k) =>
    wrapped(phase((2 * Math.PI * k) / N) - (2 * Math.PI * k) / N),
  );
  const mean = error.reduce((sum, e) => sum + e, 0) / N;
  return Math.max(...error.map((e) => Math.abs(e - mean)));
};

// Computed independently with NumPy on 200,000 points of the same closed form; printed to five digits.
test.each([
  [0, 1, 0, 1, 0],
  [0.04, 0.664737, 0.22128, 0.837235, 0.10658],
  [0.08, 0.265707, 0.46332, 0.662013, 0.22069],
  [0.1, 0.0122729, 0.58692, 0.568956, 0.28001],
])(
  'CTL-PH-4 second harmonic %d: slowest phase and largest error of both forms',
  (a2, dRate, dError, iRate, iError) => {
    const slowest = (rate: (t: ReturnType<typeof thighAt>) => number) =>
      Math.min(...Array.from({ length: N }, (_, k) => rate(thighAt(a2, (2 * Math.PI * k) / N))));
    expect(slowest((t) => derivativePhaseRate(t.x, t.rate, t.acceleration, 1))).toBeCloseTo(dRate, 5);
    expect(slowest((t) => integralPhaseRate(t.x, t.integral, t.rate, 1))).toBeCloseTo(iRate, 5);
    expect(
      spread((p) => {
        const { x, rate } = thighAt(a2, p);
        return derivativePhase(x, rate, 0, 1);
      }),
    ).toBeCloseTo(dError, 4);
    expect(
      spread((p) => {
        const { x, integral } = thighAt(a2, p);
        return integralPhase(x, integral, 0, 1);
      }),
    ).toBeCloseTo(iError, 4);
  },
);

test('the rates are those of the phases', () => {
  for (let p = 0.1; p < 6; p += 0.37) {
    const [a, b, t] = [thighAt(0.06, p - 1e-5), thighAt(0.06, p + 1e-5), thighAt(0.06, p)];
    const derivative =
      wrapped(derivativePhase(b.x, b.rate, 0, 1) - derivativePhase(a.x, a.rate, 0, 1)) / 2e-5;
    expect(derivativePhaseRate(t.x, t.rate, t.acceleration, 1)).toBeCloseTo(derivative, 6);
    const integral =
      wrapped(integralPhase(b.x, b.integral, 0, 1) - integralPhase(a.x, a.integral, 0, 1)) / 2e-5;
    expect(integralPhaseRate(t.x, t.integral, t.rate, 1)).toBeCloseTo(integral, 6);
  }
});

test('CTL-PH-5 offset, pace and noise on a cosine, sampled densely', () => {
  const A = 0.36;
  const largest = (phase: (p: number) => number) =>
    Math.max(
      ...Array.from({ length: N }, (_, k) =>
        Math.abs(wrapped(phase((2 * Math.PI * k) / N) - (2 * Math.PI * k) / N)),
      ),
    );
  const off = largest((p) => derivativePhase(A * Math.cos(p), -A * Math.sin(p), 0.03, 1));
  expect(off).toBeCloseTo(0.083430087, 6);
  expect(offsetPhaseError(0.03, A)).toBeCloseTo(0.083430087, 9);
  for (const factor of [0.8, 1.25]) {
    const pace = largest((p) => derivativePhase(A * Math.cos(p), -A * Math.sin(p), 0, factor));
    expect(pace).toBeCloseTo(0.11134101, 6);
    expect(pacePhaseError(factor)).toBeCloseTo(0.11134101, 8);
  }
  // noise of the angle alone where it matters most: integral form, θ = c, phase 90°: σ_θ/A = 0.0138889
  const random = randomStream(11);
  let sum = 0;
  for (let k = 0; k < N; k++)
    sum += wrapped(integralPhase(0.005 * random.normal(), A, 0, 1) - Math.PI / 2) ** 2;
  expect(Math.abs(Math.sqrt(sum / N) / (0.005 / A) - 1)).toBeLessThan(0.03);
  // raw differences at 1 kHz carry √2·σ·f = 7.07 rad/s, more than the thigh ever turns
  let [square, before] = [0, 0.005 * random.normal()];
  for (let k = 0; k < N; k++) {
    const next = 0.005 * random.normal();
    square += ((next - before) * 1000) ** 2;
    before = next;
  }
  expect(Math.abs(Math.sqrt(square / N) / 7.07107 - 1)).toBeLessThan(0.03);
});
