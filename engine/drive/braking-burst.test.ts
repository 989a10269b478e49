import { expect, test } from 'vitest';
import { brakingBurst, burningCurrent } from './braking-burst.ts';
import { near } from './test-motor.ts';

const n = 4000;
const made = (of: (x: number) => number): Float64Array =>
  Float64Array.from({ length: n + 1 }, (_, i) => of((2 * Math.PI * i) / n));

test('a half sine of 100 W over half a second returns 100·T/π, wherever it stands in the stride', () => {
  for (const shift of [0, 1, 2, 3, 4, 5, 6]) {
    const burst = brakingBurst(
      made((x) => -100 * Math.sin(x + shift)),
      1,
    );
    near(burst.energy, 100 / Math.PI, 1e-5);
    near(burst.peak, 100, 1e-5);
  }
});

test('two stretches with a break between: the larger counts, not the sum', () => {
  const burst = brakingBurst(
    made((x) => -100 * Math.sin(2 * x) * (Math.sin(2 * x) > 0 ? (x < Math.PI ? 1 : 2) : 1)),
    1,
  );
  near(burst.energy, 200 / (2 * Math.PI), 1e-5);
});

test('braking all the time is one stride’s energy; never braking is none', () => {
  near(
    brakingBurst(
      made(() => -30),
      2,
    ).energy,
    60,
    1e-12,
  );
  expect(
    brakingBurst(
      made(() => 30),
      2,
    ),
  ).toEqual({ energy: 0, peak: 0 });
});

test('298 W are 49.8 A through 80 mΩ: the copper of DRV-M7, as d current alone', () => {
  near(burningCurrent(0.08, 297.714), 49.8091);
});
