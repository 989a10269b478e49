import type { Supply } from './battery.ts';
import { sagged } from './battery.ts';
import type { Bus } from './leg-drive.ts';

/** A resistor that a chopper puts across the bus from its threshold on. */
export type BrakeResistor = NonNullable<Bus['brakeResistor']>;

/** What flows on the bus at each sample. */
export interface BusFlow {
  /** V; NaN where the pack cannot give the power. */
  readonly voltage: Float64Array;
  /** A out of the cells; negative charges. */
  readonly current: Float64Array;
  /** W burnt in the brake resistor. */
  readonly resistor: Float64Array;
  /** W that nothing else may take: to be burnt in the windings by d current, so that the joint brakes all the same. */
  readonly windings: Float64Array;
}

/**
 * Where the power on the bus comes from and goes to, sample by sample. `power` + `perVolt`·V is what all joints together draw, W.
 * Drawing, the cells give it and the bus sags. Braking, the order is
 *
 *     1. cells, up to the charge limit                              V ≤ E + R_b·I_chg
 *     2. brake resistor, if it switches on at or below that voltage: holds the threshold V_t while P ≤ V_t²/R,
 *        above that it is on all the time and the bus rises:        V·(V − E)/R_b + V²/R = P_braking
 *     3. windings: what is left, as 1.5·R·i_d² without torque       V = E + R_b·I_chg
 *
 * The capacitor stands at the pack's voltage, behind R_b·C (a millisecond or less), so that over samples of milliseconds it takes nothing
 * for itself; see `capacitorEnergy` for what it holds. A resistor whose threshold lies above E + R_b·I_chg never switches on while the
 * charge limit is kept. Without a charge limit in `supply` the cells are pushed whatever the voltage makes them take.
 * The threshold must lie above E: else the resistor would empty the pack.
 */
export function busFlow(
  supply: Supply,
  brake: BrakeResistor | undefined,
  power: Float64Array,
  perVolt: Float64Array,
): BusFlow {
  const { openCircuitVoltage: E, resistance: r, chargeLimit = Number.POSITIVE_INFINITY } = supply;
  const n = power.length;
  const voltage = new Float64Array(n);
  const current = new Float64Array(n);
  const resistor = new Float64Array(n);
  const windings = new Float64Array(n);
  // without resistance the cells never rise above E, and a resistor whose threshold lies above it never switches on
  const top = r === 0 ? E : E + r * chargeLimit;
  const fitted = brake !== undefined && brake.threshold <= top;
  const both = fitted ? 1 / r + 1 / brake.resistance : 0;
  for (let i = 0; i < n; i++) {
    let v = sagged(supply, power[i], perVolt[i]);
    let amperes = (power[i] + perVolt[i] * v) / v;
    if (fitted && v > brake.threshold) {
      // fully on, the resistor is one more part of the load: (1/R_b + 1/R)·V² − (E/R_b − c)·V + P = 0
      const open = E / r - perVolt[i];
      const full = (open + Math.sqrt(open * open - 4 * both * power[i])) / (2 * both);
      v = Math.max(full, brake.threshold);
      amperes = (E - v) / r;
    }
    if (amperes < -chargeLimit) {
      v = top;
      amperes = -chargeLimit;
    }
    const excess = v * amperes - (power[i] + perVolt[i] * v);
    if (fitted && v >= brake.threshold) resistor[i] = Math.min(excess, (v * v) / brake.resistance);
    if (amperes === -chargeLimit) windings[i] = excess - resistor[i];
    voltage[i] = v;
    current[i] = amperes;
  }
  return { voltage, current, resistor, windings };
}
