import { curveMean } from '../numeric/trapezoid.ts';
import type { Supply } from './battery.ts';
import { type BrakeResistor, type BusFlow, busFlow } from './bus-flow.ts';
import type { JointLosses, JointPower } from './joint-power.ts';
import { sharedPower } from './shared-power.ts';

/** J of one joint over the stride: where its power went, and what it would draw and return on a bus of its own. */
export interface JointEnergy extends JointLosses {
  readonly switching: number;
  readonly drawn: number;
  readonly returned: number;
}

/** Energy of a leg over one stride, J, and the bus while it happens. */
export interface StrideEnergy {
  /** s */
  readonly time: number;
  readonly joints: readonly JointEnergy[];
  /** Out of the cells less into them; `drawn` and `returned` are its two parts. All three at the open-circuit voltage. */
  readonly cells: number;
  readonly drawn: number;
  readonly returned: number;
  /** What the first joint gives the second on the common bus, and the other way round. */
  readonly given: readonly [toSecond: number, toFirst: number];
  readonly packResistance: number;
  readonly brakeResistor: number;
  readonly windings: number;
  /** Cells less all terms: rounding and nothing else. */
  readonly residual: number;
  readonly flow: BusFlow;
  /** What each joint draws at each sample, switching included, W. */
  readonly power: readonly Float64Array[];
}

const KEYS = [
  'mechanical',
  'kinetic',
  'spring',
  'copper',
  'drag',
  'mesh',
  'outputFriction',
  'conduction',
  'quiescent',
] as const satisfies readonly (keyof JointLosses)[];

/**
 * Energy over one stride of joints that share a bus, their powers summed before anything is rectified:
 *
 *     cells = Σ over joints (mechanical + kinetic + spring + copper + drag + mesh + output friction + bridge + quiescent)
 *             + R_b·∫I² + brake resistor + windings by d current
 *
 * cells = ∫E·I. The losses come from the mechanics and the current, the cells from the bus, so that the residual is a check.
 * Trapezoid over the stride, both ends included. Charge put in comes out again whole; what cells lose beside their resistance is left out.
 */
export function strideEnergy(
  parts: readonly JointPower[],
  supply: Supply,
  brake: BrakeResistor | undefined,
  time: number,
): StrideEnergy {
  const n = parts[0].power.length;
  const demand = new Float64Array(n);
  const perVolt = new Float64Array(n);
  for (const part of parts)
    for (let i = 0; i < n; i++) {
      demand[i] += part.power[i];
      perVolt[i] += part.perVolt[i];
    }
  const flow = busFlow(supply, brake, demand, perVolt);
  const { voltage, current } = flow;
  const own = parts.map((part) => part.power.map((power, i) => power + part.perVolt[i] * voltage[i]));
  const energy = (of: (i: number) => number): number => {
    const curve = new Float64Array(n);
    for (let i = 0; i < n; i++) curve[i] = of(i);
    return curveMean(curve) * time;
  };
  const E = supply.openCircuitVoltage;
  const joints = parts.map((part, k): JointEnergy => {
    const power = own[k];
    const mean = Object.fromEntries(
      KEYS.map((key) => [key, part.mean[key] * time]),
    ) as unknown as JointLosses;
    return {
      ...mean,
      switching: energy((i) => part.perVolt[i] * voltage[i]),
      drawn: energy((i) => Math.max(power[i], 0)),
      returned: energy((i) => Math.max(-power[i], 0)),
    };
  });
  const [first, second] = own;
  const give = (from: Float64Array, to: Float64Array): number =>
    energy((i) => (from[i] < 0 ? sharedPower(from[i], to[i]) : 0));
  const cells = energy((i) => E * current[i]);
  const packResistance = energy((i) => supply.resistance * current[i] * current[i]);
  const brakeResistor = energy((i) => flow.resistor[i]);
  const windings = energy((i) => flow.windings[i]);
  const used = joints.reduce((sum, j) => KEYS.reduce((s, key) => s + j[key], sum + j.switching), 0);
  return {
    time,
    joints,
    cells,
    drawn: energy((i) => E * Math.max(current[i], 0)),
    returned: energy((i) => E * Math.max(-current[i], 0)),
    given: second === undefined ? [0, 0] : [give(first, second), give(second, first)],
    packResistance,
    brakeResistor,
    windings,
    residual: cells - (used + packResistance + brakeResistor + windings),
    flow,
    power: own,
  };
}
