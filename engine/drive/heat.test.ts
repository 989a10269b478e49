// Winding and housing: printed checks (two nodes, C_w 60 and C_h 350 J/K, R_wh 0.55 and R_ha 2.2 K/W, air 25 °C, α 0.00393 per kelvin,
// from a script with an ODE solver at a relative 1e-10 and closed forms), each met by a second route of ours.
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type HeatBlock, heatCourse } from './heat-course.ts';
import {
  coldState,
  HOTTEST,
  HOUSING,
  heatBalance,
  heatStep,
  heatTimeConstants,
  OTHERS,
} from './heat-nodes.ts';
import { continuousMotorTorque, runawayLoss, steadyHeat } from './steady-heat.ts';
import { celsius, path, thermal, watts } from './test-heat.ts';
import { near } from './test-motor.ts';
import { adiabaticTime, timeToLimit } from './time-to-limit.ts';

const ALPHA = 0.00393;
const linear = { ...path, motor: { ...path.motor, copperCoefficient: 0 } };

/** Two nodes in closed form: eigenvectors of the 2 × 2 system, copper feedback in its first entry. Degrees Celsius. */
function twoNodes(loss: number, alpha: number, t: number): readonly [winding: number, housing: number] {
  const a = (alpha * loss - 1 / 0.55) / 60;
  const b = 1 / (60 * 0.55);
  const c = 1 / (350 * 0.55);
  const d = -(1 / 0.55 + 1 / 2.2) / 350;
  // rest point of A·x + g = 0
  const g = [(loss * (1 - 20 * alpha)) / 60, 25 / 2.2 / 350] as const;
  const det = a * d - b * c;
  const rest = [(-d * g[0] + b * g[1]) / det, (c * g[0] - a * g[1]) / det] as const;
  const root = Math.sqrt((a - d) ** 2 / 4 + b * c);
  const [fast, slow] = [(a + d) / 2 - root, (a + d) / 2 + root];
  const [x, y] = [25 - rest[0], 25 - rest[1]];
  // x(t) = e^{λ₁t}·(A − λ₂)/(λ₁ − λ₂)·x + e^{λ₂t}·(A − λ₁)/(λ₂ − λ₁)·x   (Sylvester)
  const along = (own: number, other: number): readonly [number, number] => [
    (Math.exp(own * t) * ((a - other) * x + b * y)) / (own - other),
    (Math.exp(own * t) * (c * x + (d - other) * y)) / (own - other),
  ];
  const [p, q] = [along(fast, slow), along(slow, fast)];
  return [rest[0] + p[0] + q[0], rest[1] + p[1] + q[1]];
}

const after = (of: typeof path, loss: number, t: number): readonly number[] => {
  const { winding, housing } = heatCourse(of, [{ load: watts(loss), duration: t }]);
  return [winding.at(-1)! - 273.15, housing.at(-1)! - 273.15];
};

test('DRV-T1 two time constants, and that their rates solve the characteristic equation', () => {
  const [short, long] = heatTimeConstants(thermal);
  near(short, 28.0159);
  near(long, 906.984);
  for (const tau of [short, long]) {
    const s = -1 / tau;
    const [a, d] = [-1 / (60 * 0.55), -(1 / 0.55 + 1 / 2.2) / 350];
    expect((a - s) * (d - s)).toBeCloseTo(1 / (60 * 0.55 * 350 * 0.55), 12);
  }
});

test('DRV-T1 20 W for 600 s from cold, without and with copper feedback: integrated, printed, in closed form', () => {
  for (const [of, alpha, winding, housing] of [
    [linear, 0, 55.685, 45.5696],
    [path, ALPHA, 59.4417, 47.8284],
  ] as const) {
    const got = after(of, 20, 600);
    near(got[0], winding, 1e-5);
    near(got[1], housing, 1e-5);
    const exact = twoNodes(20, alpha, 600);
    near(got[0], exact[0], 1e-6);
    near(got[1], exact[1], 1e-6);
  }
});

test('DRV-T1 steady state and runaway: closed form, balance of heat, and where the integration comes to rest', () => {
  near(steadyHeat(linear, watts(20)).winding - 273.15, 80, 1e-9);
  const rest = steadyHeat(path, watts(20));
  near(rest.winding - 273.15, 96.5453, 1e-6);
  near(rest.housing - 273.15, 82.2362, 1e-6);
  near(after(path, 20, 40_000)[0], rest.winding - 273.15, 1e-6);
  near(runawayLoss(path), 92.5283, 1e-6);
  expect(steadyHeat(path, watts(92.52)).winding).toBeLessThan(Number.POSITIVE_INFINITY);
  expect(steadyHeat(path, watts(92.53)).winding).toBe(Number.POSITIVE_INFINITY);
  // on both sides the sign of the determinant, the product of the eigenvalues, turns
  for (const [loss, sign] of [
    [92.52, 1],
    [92.53, -1],
  ] as const) {
    const a = (ALPHA * loss - 1 / 0.55) / 60;
    expect(Math.sign(a * (-(1 / 0.55 + 1 / 2.2) / 350) - 1 / (60 * 0.55 * 350 * 0.55))).toBe(sign);
  }
});

test('DRV-T2 time to 120 °C from cold, and the adiabatic bound below it', () => {
  for (const [loss, full, adiabatic] of [
    [150, 59.479, 31.756],
    [300, 20.5253, 15.8779],
    [1000, 5.09998, 4.76336],
  ] as const) {
    const cold = coldState(path.ambient);
    const t = timeToLimit(path, watts(loss), cold);
    near(t, full, 1e-5);
    near(twoNodes(loss, ALPHA, t)[0], 120, 1e-6);
    near(adiabaticTime(path, watts(loss), cold), adiabatic, 2e-5);
  }
});

test('a current that never heats to the limit takes for ever, one from a winding already there no time', () => {
  const cold = coldState(path.ambient);
  const holds = 95 / (2.75 * (1 + ALPHA * 100)); // (T_max − T_a)/(R_t·[1 + α·ΔT])
  expect(timeToLimit(path, watts(0.999 * holds), cold)).toBe(Number.POSITIVE_INFINITY);
  expect(timeToLimit(path, watts(1.001 * holds), cold)).toBeLessThan(20 * 907 * 2);
  expect(timeToLimit(path, watts(1), coldState(celsius(121)))).toBe(0);
  expect(adiabaticTime(path, watts(1), coldState(celsius(121)))).toBe(0);
});

test('DRV-T3 continuous torque with cold and with warm magnets; its loss brings the winding to its limit', () => {
  near(continuousMotorTorque(path), 2.04176, 1e-5);
  const loss = (2.0417555944 / 0.41) ** 2;
  near(loss * (1 + ALPHA * 100), 34.5455, 1e-5);
  near(steadyHeat(path, watts(loss)).winding - 273.15, 120, 1e-8);
  const weak = { ...path, motor: { ...path.motor, magnetCoefficient: -0.0012 } };
  near(continuousMotorTorque(weak, celsius(80)), 1.89475, 1e-5);
  // magnets as hot as the housing: the same torque as a load whose loss follows them ends at the limit
  const torque = continuousMotorTorque(weak);
  near(steadyHeat(weak, watts((torque / 0.41) ** 2, { fluxExponent: 2 })).winding - 273.15, 120, 1e-8);
  expect(continuousMotorTorque({ ...path, ambient: celsius(130) })).toBeNaN();
});

// One node: a housing so well cooled that it stays at the air's temperature. τ = C_w·R_wh = 60 s without copper feedback.
test('DRV-T4 periodic duty: 2 s of 10 s allow 4.683 times the loss of for ever, 2.164 times the torque, √5 at most', () => {
  const one = {
    ...linear,
    thermal: { ...thermal, windingToHousing: 1, housingToAmbient: 1e-6, housingCapacity: 1e6 },
  };
  const ratio = (1 - Math.exp(-10 / 60)) / (1 - Math.exp(-2 / 60));
  near(ratio, 4.68273, 1e-6);
  near(Math.sqrt(ratio), 2.16396, 1e-5);
  near(Math.sqrt(10 / 2), 2.23607, 1e-5);
  const forEver = 95; // W that settle at 120 °C through 1 K/W
  const cycle: HeatBlock[] = [
    { load: watts(ratio * forEver), duration: 2 },
    { load: watts(0), duration: 8 },
  ];
  const { winding } = heatCourse(one, Array.from({ length: 100 }, () => cycle).flat());
  near(Math.max(...winding) - 273.15, 120, 1e-4);
});

// Copper at 20 °C: ρ = 1.7241e-8 Ω·m (1/58 µΩ·m, IEC 60028), γ = 8960 kg/m³, c = 385 J/(kg·K), FROM MEMORY; J²ρ/(γc) per (A/mm²)².
test('DRV-T5 copper alone at 10 A/mm² warms by 0.4998 K/s', () => {
  const [rho, gamma, c, current] = [1.7241e-8, 8960, 385, 10e6];
  near((current ** 2 * rho) / (gamma * c), 0.499797, 2e-6);
  // a cubic metre of it as the winding, at 20 °C, parted from everything
  const alone = {
    ...path,
    ambient: celsius(20),
    thermal: { ...thermal, windingCapacity: gamma * c, windingToHousing: 1e9, windingLimit: celsius(20.01) },
  };
  const rate = new Float64Array(3);
  heatBalance(alone, watts(current ** 2 * rho))(coldState(celsius(20)), rate);
  near(rate[HOTTEST], 0.499797, 2e-6);
  near(0.01 / adiabaticTime(alone, watts(current ** 2 * rho), coldState(celsius(20))), 0.4998, 1e-4);
});

test('a stalled rotor: one phase takes 1.5 to 2 times the mean by electrical angle, and the three always sum to 1.5·R·I²', () => {
  fc.assert(
    fc.property(fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }), (angle) => {
      const losses = [0, 1, 2].map((k) => Math.cos(angle - (2 * Math.PI * k) / 3) ** 2);
      const mean = (losses[0]! + losses[1]! + losses[2]!) / 3;
      const factor = Math.max(...losses) / mean;
      return Math.abs(mean - 0.5) < 1e-12 && factor > 1.5 - 1e-9 && factor < 2 + 1e-12;
    }),
    { seed: 3 },
  );
});

test('stalled phases: the closed form balances heat in every node, and the mean lies where the turning motor’s does', () => {
  const load = watts(20, { rotor: 'stalled', friction: 3 });
  const { winding, housing } = steadyHeat(path, load);
  // the two others from their own balance
  const left = 1 - ALPHA * 0.55 * 0.5 * 20;
  const others = housing + (0.55 * 0.5 * 20 * (1 + ALPHA * (housing - 293.15))) / left;
  const state = new Float64Array(3);
  state[HOTTEST] = winding;
  state[OTHERS] = others;
  state[HOUSING] = housing;
  const rate = new Float64Array(3);
  heatBalance(path, load)(state, rate);
  for (const r of rate) expect(Math.abs(r)).toBeLessThan(1e-12);
  // without feedback and friction the housing cannot tell, and the hot phase is R_wh·P further from it
  const [still, turning] = [
    steadyHeat(linear, watts(20, { rotor: 'stalled' })),
    steadyHeat(linear, watts(20)),
  ];
  expect(still.housing).toBeCloseTo(turning.housing, 9);
  expect(still.winding - turning.winding).toBeCloseTo(0.55 * 20, 9);
});

test('a course that would melt copper ends there and says so; no loss that is known, no temperature', () => {
  const { melts, winding, time, pastLimit } = heatCourse(path, [{ load: watts(500), duration: 36_000 }]);
  expect(melts).toBe(true);
  // the step in which the limit is passed ends no more than one step after the exact time
  const exact = timeToLimit(path, watts(500), coldState(path.ambient));
  expect(pastLimit - exact).toBeGreaterThanOrEqual(0);
  expect(pastLimit - exact).toBeLessThan(heatStep(thermal));
  expect(time.at(-1)).toBeLessThan(36_000);
  expect(winding.at(-1)).toBeGreaterThan(1357);
  const unknown = heatCourse(path, [{ load: watts(Number.NaN), duration: 100 }]);
  expect(unknown.winding[unknown.hottestWinding]).toBeNaN();
  expect(timeToLimit(path, watts(Number.NaN), coldState(path.ambient))).toBeNaN();
});

test('whatever the order of the blocks, none is hotter than with the coolest first', () => {
  const blocks: HeatBlock[] = [8, 15, 25, 60].map((loss, i) => ({
    load: watts(loss),
    duration: [900, 300, 400, 60][i]!,
  }));
  const hottest = (of: readonly HeatBlock[]): number => {
    const { winding, hottestWinding } = heatCourse(path, of);
    return winding[hottestWinding];
  };
  const worst = hottest(blocks);
  const orders = (rest: readonly HeatBlock[]): HeatBlock[][] =>
    rest.length === 0
      ? [[]]
      : rest.flatMap((b) => orders(rest.filter((x) => x !== b)).map((more) => [b, ...more]));
  for (const order of orders(blocks)) expect(hottest(order)).toBeLessThanOrEqual(worst + 1e-9);
});

test('capacities no motor has are told, not integrated for hours', () => {
  const odd = { ...path, thermal: { ...thermal, windingCapacity: 6e-5 } };
  expect(() => heatCourse(odd, [{ load: watts(20), duration: 7200 }])).toThrow(
    /too quick for a schedule of 7\.20e\+3 s\. Check the thermal resistances/,
  );
});
