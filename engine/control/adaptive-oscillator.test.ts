import { expect, test } from 'vitest';
import { OSCILLATOR, oscillatorStep } from './adaptive-oscillator.ts';

const GAINS = { phase: 8, frequency: 16, amplitude: 2 };
const DT = 1e-3;
const fresh = () => Float64Array.of(0, 2 * Math.PI * 0.7, 0, 0.3, 0);
const heard = (p: number) => 0.08 + 0.36 * Math.cos(p);

test('CTL-PH-6 it learns a cosine: frequency, amplitude and mean', () => {
  const state = fresh();
  let settled = 0;
  for (let k = 0; k < 40000; k++) {
    oscillatorStep(state, GAINS, heard(2 * Math.PI * 0.9 * k * DT), DT);
    if (Math.abs(state[OSCILLATOR.omega]! / (2 * Math.PI * 0.9) - 1) > 0.01) settled = (k + 1) * DT;
  }
  // the truth is what it was fed
  expect(state[OSCILLATOR.omega]! / (2 * Math.PI)).toBeCloseTo(0.9, 9);
  expect(state[OSCILLATOR.first]).toBeCloseTo(0.36, 9);
  expect(state[OSCILLATOR.mean]).toBeCloseTo(0.08, 9);
  // time to stay within 1 %, computed independently with a NumPy loop: 3.008 s
  expect(Math.abs(settled - 3.008)).toBeLessThan(0.003);
});

test('CTL-PH-6 a change of pace shows as a phase error; a frozen thigh does not stop it', () => {
  const state = fresh();
  let p = 0;
  for (let k = 0; k < 40000; k++) {
    oscillatorStep(state, GAINS, heard(p), DT);
    p += 2 * Math.PI * 0.9 * DT;
  }
  const frozen = Float64Array.from(state);
  let [largest, late] = [0, 0];
  for (let k = 0; k < 20000; k++) {
    const error = Math.abs(Math.atan2(Math.sin(state[0]! - p), Math.cos(state[0]! - p)));
    largest = Math.max(largest, error);
    if (error > 2 * Math.PI * 0.05) late = k * DT;
    oscillatorStep(state, GAINS, heard(p), DT);
    p += 2 * Math.PI * 1.1 * DT;
  }
  // independently with a NumPy loop: 0.32912 rad, below a twentieth of a cycle after 0.616 s
  expect(Math.abs(largest - 0.32912)).toBeLessThan(5e-4);
  expect(Math.abs(late - 0.616)).toBeLessThan(0.003);
  const [from, held] = [frozen[0]!, heard(frozen[0]!)];
  for (let k = 0; k < 3000; k++) oscillatorStep(frozen, GAINS, held, DT);
  expect(Math.abs(frozen[0]! - from)).toBeGreaterThan(1);
});
