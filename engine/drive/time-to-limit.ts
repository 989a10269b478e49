import { rungeKutta4 } from '../numeric/runge-kutta.ts';
import type { HeatLoad } from './heat-load.ts';
import { type HeatPath, HOTTEST, heatBalance, heatStep, PHASE_SHARES } from './heat-nodes.ts';
import { resistanceFactor } from './motor-torque.ts';

/**
 * Time to the winding's limit if no heat left the hottest phase, s: a lower bound, safe to act on.
 *
 *     t = C_w/(α·s·P)·ln([1 + α·(T_max − T_0)]/[1 + α·(T − T_0)])
 *
 * Zero from a winding already at its limit; +∞ without loss. Of a current that is given (`peakHeat`).
 */
export function adiabaticTime({ motor, thermal }: HeatPath, load: HeatLoad, from: Float64Array): number {
  const start = from[HOTTEST];
  if (start >= thermal.windingLimit) return 0;
  const loss = PHASE_SHARES[load.rotor][0] * load.copper;
  return (
    (thermal.windingCapacity / (motor.copperCoefficient * loss)) *
    Math.log(resistanceFactor(motor, thermal.windingLimit) / resistanceFactor(motor, start))
  );
}

/** Share of `heatStep` and of the loss's own doubling: at a tenth of 1/|λ| a step's error is some 1e-7 of what moves. */
const FINE = 0.2;

/** K/s below which every node has come to rest: one kelvin in thirty years. Our choice. */
const AT_REST = 1e-9;

/** Halvings of the step in which the limit is crossed, to the last digit of a double. */
const HALVINGS = 52;

/**
 * Time until the hottest phase reaches its limit, s, with heat flowing on to housing and air: Runge–Kutta steps until the limit is
 * crossed, then that step is halved down to the crossing. Zero from a winding already there. +∞ where no node warms any more
 * below the limit: each node warms the others, so they then cool for ever.
 */
export function timeToLimit(path: HeatPath, load: HeatLoad, from: Float64Array): number {
  const limit = path.thermal.windingLimit;
  if (from[HOTTEST] >= limit) return 0;
  const balance = heatBalance(path, load);
  const step = rungeKutta4(balance, from.length);
  const growth =
    (path.motor.copperCoefficient * PHASE_SHARES[load.rotor][0] * load.copper) / path.thermal.windingCapacity;
  const h = FINE / (1 / heatStep(path.thermal) + 2 * growth);
  const state = Float64Array.from(from);
  const before = new Float64Array(from.length);
  const change = new Float64Array(from.length);
  let time = 0;
  for (;;) {
    before.set(state);
    balance(state, change);
    if (change.every((rate) => rate <= AT_REST)) return Number.POSITIVE_INFINITY;
    step(state, h);
    if (Number.isNaN(state[HOTTEST])) return Number.NaN;
    if (state[HOTTEST] >= limit) break;
    time += h;
  }
  let low = 0;
  let high = h;
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    state.set(before);
    step(state, middle);
    if (state[HOTTEST] >= limit) high = middle;
    else low = middle;
  }
  return time + high;
}
