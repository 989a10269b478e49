import { expect, test } from 'vitest';
import { fitOverPhase, impedanceAtPhase, type PhasedSamples } from './phase-fit.ts';

const k = [80, 160, 60];
const c = [5, 30, -4];
const b = [2, 1, 4];

/** Invented strides at speeds v that a known schedule made: degree 2 written out as a plain polynomial. */
function strides(speeds: readonly number[], noise: () => number = () => 0): PhasedSamples {
  const at = ([p, q, r]: readonly number[], s: number) =>
    p! * (1 - s) ** 2 + q! * 2 * s * (1 - s) + r! * s ** 2;
  const all = speeds.flatMap((v) =>
    Array.from({ length: 21 }, (_, i) => {
      const s = i / 20;
      const reach = 0.25 * (0.8 + 0.2 * v);
      const angle = 0.1 + reach * Math.sin(Math.PI * s) + 0.05 * v * s;
      const velocity = (reach * Math.PI * Math.cos(Math.PI * s) + 0.05 * v) / (0.6 / v);
      return { s, angle, velocity, torque: -at(k, s) * angle + at(c, s) - at(b, s) * velocity + noise() };
    }),
  );
  const column = (name: 's' | 'angle' | 'velocity' | 'torque') => Float64Array.from(all, (x) => x[name]);
  return {
    phase: column('s'),
    angle: column('angle'),
    velocity: column('velocity'),
    torque: column('torque'),
  };
}

// Conditions and deviations: computed independently with NumPy's singular values and inverse.
test('CTL-FIT-5: three speeds give the schedule back, one does not', () => {
  const three = fitOverPhase(strides([0.8, 1, 1.3]), { degree: 2 });
  const found = [...three.schedule.stiffness, ...three.schedule.offset, ...three.schedule.damping];
  [...k, ...c, ...b].forEach((value, j) => {
    expect(found[j]).toBeCloseTo(value, 8);
  });
  expect(three.condition).toBeCloseTo(185.446, 3);
  expect(three.rms).toBeLessThan(1e-9);
  const printed = [13.2187, 5.40637, 11.1403, 1.69625, 4.17703, 1.5577, 0.532629, 1.73319, 0.754391];
  const { stiffness, offset, damping } = three.perNoise;
  [...stiffness, ...offset, ...damping].forEach((sd, j) => {
    expect(0.5 * sd).toBeCloseTo(printed[j]!, 4);
  });
  const half = impedanceAtPhase(three.schedule, 0.5);
  expect(half.stiffness).toBeCloseTo(115, 8);
  expect(half.offset).toBeCloseTo(15.25, 8);
  expect(half.damping).toBeCloseTo(2, 8);
});

test('CTL-FIT-5: one speed alone has a condition of three million', () => {
  // the sixteen-digit rows of one speed are told apart to about one part in a thousand by different ways of summing
  const one = fitOverPhase(strides([1]), { degree: 2 });
  expect(one.condition / 3.104e6).toBeCloseTo(1, 3);
  expect((0.5 * one.perNoise.stiffness[0]!) / 2.11e5).toBeCloseTo(1, 2);
});

test('white noise of 0.5 N·m scatters the coefficients as the inverse says', () => {
  // Park & Miller, Comm. ACM 31 (1988) 1192; normal draws by Box and Muller
  let seed = 20260301;
  const uniform = () => {
    seed = (seed * 48271) % 2147483647;
    return seed / 2147483647;
  };
  const normal = () => 0.5 * Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
  const found = Array.from(
    { length: 200 },
    () => fitOverPhase(strides([0.8, 1, 1.3], normal), { degree: 2 }).schedule.stiffness[1]!,
  );
  const mean = found.reduce((sum, x) => sum + x, 0) / found.length;
  const sd = Math.sqrt(found.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (found.length - 1));
  expect(Math.abs(sd / 5.40637 - 1)).toBeLessThan(0.15); // three standard errors of a deviation of 200 draws: 3/√400
});

test('bounds on coefficients hold over the whole of stance', () => {
  const bounds = {
    stiffness: { low: 70, high: 100 },
    damping: { low: 0, high: 3 },
    equilibrium: { low: 0, high: 0.2 },
  };
  const { schedule, active } = fitOverPhase(strides([0.8, 1, 1.3]), { degree: 2, bounds });
  expect(active.length).toBeGreaterThan(0);
  for (let s = 0; s <= 1; s += 0.01) {
    const { stiffness, offset, damping } = impedanceAtPhase(schedule, s);
    expect(stiffness).toBeGreaterThan(70 - 1e-9);
    expect(stiffness).toBeLessThan(100 + 1e-9);
    expect(damping).toBeGreaterThan(-1e-9);
    expect(damping).toBeLessThan(3 + 1e-9);
    expect(offset / stiffness).toBeGreaterThan(-1e-9);
    expect(offset / stiffness).toBeLessThan(0.2 + 1e-9);
  }
});

test('endless smoothness leaves straight lines', () => {
  const { stiffness } = fitOverPhase(strides([0.8, 1, 1.3]), { degree: 3, smoothness: 1e9 }).schedule;
  expect(stiffness[0]! - 2 * stiffness[1]! + stiffness[2]!).toBeCloseTo(0, 3);
  expect(stiffness[1]! - 2 * stiffness[2]! + stiffness[3]!).toBeCloseTo(0, 3);
});
