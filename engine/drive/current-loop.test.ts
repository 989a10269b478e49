import { expect, test } from 'vitest';
import { deg, radFromDeg } from '../quantity/angle.ts';
import { crossoverFor, crossoverOfBandwidth, currentLoop, loopDelay } from './current-loop.ts';
import { motor, near } from './test-motor.ts';

const delay = loopDelay(20e3);
const sixty = crossoverFor(radFromDeg(deg(60)), delay);

test('DRV-B1 gains, delay, crossover of 60° and of the magnitude optimum', () => {
  near(delay, 75e-6);
  const loop = currentLoop(motor, 1000, delay);
  near(loop.proportional, 0.565487);
  near(loop.integral, 502.655);
  near(sixty, 1111.11);
  near((currentLoop(motor, sixty, delay).phaseMargin * 180) / Math.PI, 60, 1e-12);
  const optimum = 1 / (2 * delay) / (2 * Math.PI);
  near(optimum, 1061.03);
  near((currentLoop(motor, optimum, delay).phaseMargin * 180) / Math.PI, 61.3521);
});

test('DRV-B2 the −3 dB frequency is not the crossover: 2.30 times it at 60°', () => {
  const loop = currentLoop(motor, sixty, delay);
  near(loop.bandwidth, 2558.21);
  near(loop.bandwidth / sixty, 2.30239);
  near(loop.resonance, 1.00591);
});

test('without delay the −3 dB frequency is the crossover and nothing resonates', () => {
  const loop = currentLoop(motor, 800, 0);
  near(loop.bandwidth, 800, 1e-12);
  expect(loop.resonance).toBe(1);
});

test('second route: the sampled loop itself, step by step in time, follows and lags as the formula says', () => {
  // plant and PI controller integrated with the voltage of T_d ago, driven at the −3 dB frequency: amplitude 1/√2
  const loop = currentLoop(motor, sixty, delay);
  const dt = delay / 500;
  const wire = new Float64Array(500);
  const w = 2 * Math.PI * loop.bandwidth;
  let [current, sum, most] = [0, 0, 0];
  const steps = Math.round(0.01 / dt);
  for (let k = 0; k < steps; k++) {
    const error = Math.sin(w * k * dt) - current;
    sum += error * dt;
    const voltage = wire[k % 500];
    wire[k % 500] = loop.proportional * error + loop.integral * sum;
    current += ((voltage - motor.resistance * current) / motor.inductanceQ) * dt;
    if (k > 0.8 * steps) most = Math.max(most, Math.abs(current));
  }
  near(most, Math.SQRT1_2, 5e-3);
});

test('no phase left: no bandwidth', () => {
  const loop = currentLoop(motor, 4000, delay);
  expect(loop.phaseMargin).toBeLessThan(0);
  expect(loop.bandwidth).toBeNaN();
  expect(loop.resonance).toBeNaN();
});

test('the crossover found back from the −3 dB frequency', () => {
  for (const crossover of [50, 300, 1111, 1800])
    near(crossoverOfBandwidth(currentLoop(motor, crossover, delay).bandwidth, delay), crossover, 1e-9);
});
