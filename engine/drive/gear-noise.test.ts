import { expect, test } from 'vitest';
import { type GearPair, gearNoiseDifference, speedNoiseDifference } from './gear-noise.ts';
import { near } from './test-motor.ts';

const pair: GearPair = { helix: 0, toothRatio: 2.5, contactRatio: 1.6, pitchSpeed: 3, power: 5000 };

test('DRV-N1 differences of gear noise: helix, and the whole term of speed and geometry', () => {
  near(gearNoiseDifference(pair, { ...pair, helix: (20 * Math.PI) / 180 }), 38.8098 - 42.8365, 2e-4);
  // at a helix of 90° the term is nought: what is left of the difference is the term itself
  near(gearNoiseDifference({ ...pair, helix: Math.PI / 2 }, pair), 22.8365);
  near(gearNoiseDifference({ ...pair, power: 1000 }, pair), 20 * Math.log10(5), 1e-12);
});

test('there and back is nothing, and a way over a third pair changes nothing', () => {
  const [b, c] = [
    { ...pair, pitchSpeed: 9, toothRatio: 4 },
    { ...pair, contactRatio: 2.2, power: 50 },
  ];
  expect(gearNoiseDifference(pair, b) + gearNoiseDifference(b, pair)).toBeCloseTo(0, 12);
  near(gearNoiseDifference(pair, b) + gearNoiseDifference(b, c), gearNoiseDifference(pair, c), 1e-12);
});

test('6 dB per doubling of speed', () => {
  near(speedNoiseDifference(2), 6.0206);
  expect(speedNoiseDifference(1)).toBe(0);
});
