import { expect, test } from 'vitest';
import { meshFrequencies, meshFrequency, motorLines, planetaryRatio } from './sound-lines.ts';
import { near } from './test-motor.ts';

const teeth = { sun: 18, ring: 72 };
const rpm = (n: number): number => (n * 2 * Math.PI) / 60;

test('DRV-N2 meshing frequency by ring and by sun', () => {
  expect(planetaryRatio(teeth)).toBe(5);
  near(meshFrequency(teeth, rpm(1500)), 360, 1e-12);
  // the other form, of the sun against the turning carrier
  near(meshFrequency(teeth, rpm(1500)), 18 * (25 - 25 / 5), 1e-12);
  near(meshFrequency(teeth, -rpm(1500)), 360, 1e-12);
});

test('a second stage turns at the first one’s carrier', () => {
  const [first, second] = meshFrequencies([teeth, { sun: 20, ring: 60 }], rpm(1500)) as [number, number];
  near(first, 360, 1e-12);
  // sun at 5 turns a second, carrier at 1.25: 20 teeth pass 3.75 times
  near(second, 75, 1e-12);
});

test('tones of a motor at 25 turns a second', () => {
  const lines = motorLines(20, rpm(1500), 84);
  near(lines.electrical, 500, 1e-12);
  near(lines.ripple, 3000, 1e-12);
  near(lines.cogging, 2100, 1e-12);
  expect(motorLines(20, rpm(1500), undefined).cogging).toBeNaN();
});
