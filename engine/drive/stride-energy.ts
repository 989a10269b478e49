import type { Supply } from './battery.ts';
import { type BrakeResistor, type BusFlow, busFlow } from './bus-flow.ts';
import type { JointLosses, JointPower } from './joint-power.ts';
import { sharedPower } from './shared-power.ts';

/** J of one joint over the stride: where its power went, and what it would draw and return on a bus of its own. */
export interface JointEnergy extends JointLosses {
  readonly switching: number;
  readonly drawn: number;
  readonly returned: number;
  /** While the joint takes power: what it takes, and what copper costs meanwhile. Above it, braking costs. */
  readonly braking: { readonly taken: number; readonly copper: number };
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
  /** The sum as `busFlow` takes it: W without switching, and switching loss ÷ bus voltage, A. */
  readonly asked: Float64Array;
  readonly perVolt: Float64Array;
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
  const asked = new Float64Array(n);
  const perVolt = new Float64Array(n);
  for (const part of parts)
    for (let i = 0; i < n; i++) {
      asked[i] += part.power[i];
      perVolt[i] += part.perVolt[i];
    }
  const flow = busFlow(supply, brake, asked, perVolt);
  const { openCircuitVoltage: E, resistance } = supply;
  let drawn = 0;
  let returned = 0;
  let packResistance = 0;
  let brakeResistor = 0;
  let windings = 0;
  for (let i = 0; i < n; i++) {
    const weight = (i === 0 || i === n - 1 ? 0.5 : 1) / (n - 1);
    const current = flow.current[i];
    // NaN, where the pack cannot give the power, must not pass for no current
    if (current > 0) drawn += weight * E * current;
    else returned -= weight * E * current;
    packResistance += weight * resistance * current * current;
    brakeResistor += weight * flow.resistor[i];
    windings += weight * flow.windings[i];
  }
  const own = parts.map((part) => ownPower(part, flow.voltage));
  const joints = parts.map((part, k) => jointEnergy(part, own[k], flow.voltage, time));
  const cells = (drawn - returned) * time;
  const used = joints.reduce((sum, j) => KEYS.reduce((s, key) => s + j[key], sum + j.switching), 0);
  const burnt = (packResistance + brakeResistor + windings) * time;
  return {
    time,
    joints,
    cells,
    drawn: drawn * time,
    returned: returned * time,
    given: own.length < 2 ? [0, 0] : [given(own[0], own[1]) * time, given(own[1], own[0]) * time],
    packResistance: packResistance * time,
    brakeResistor: brakeResistor * time,
    windings: windings * time,
    residual: cells - used - burnt,
    flow,
    power: own,
    asked,
    perVolt,
  };
}

/** W of one joint at the bus with its switching loss. */
function ownPower({ power, perVolt }: JointPower, voltage: Float64Array): Float64Array {
  const own = new Float64Array(power.length);
  for (let i = 0; i < own.length; i++) own[i] = power[i] + perVolt[i] * voltage[i];
  return own;
}

function jointEnergy(
  part: JointPower,
  power: Float64Array,
  voltage: Float64Array,
  time: number,
): JointEnergy {
  const n = power.length;
  let switching = 0;
  let drawn = 0;
  let returned = 0;
  for (let i = 0; i < n; i++) {
    const weight = ((i === 0 || i === n - 1 ? 0.5 : 1) / (n - 1)) * time;
    switching += weight * part.perVolt[i] * voltage[i];
    if (power[i] > 0) drawn += weight * power[i];
    else returned -= weight * power[i];
  }
  const { mean, braking } = part;
  return {
    mechanical: mean.mechanical * time,
    kinetic: mean.kinetic * time,
    spring: mean.spring * time,
    copper: mean.copper * time,
    drag: mean.drag * time,
    mesh: mean.mesh * time,
    outputFriction: mean.outputFriction * time,
    conduction: mean.conduction * time,
    quiescent: mean.quiescent * time,
    switching,
    drawn,
    returned,
    braking: { taken: braking.taken * time, copper: braking.copper * time },
  };
}

/** W on average that `from` returns while `to` draws. */
function given(from: Float64Array, to: Float64Array): number {
  const n = from.length;
  let sum = 0;
  for (let i = 0; i < n; i++)
    if (from[i] < 0) sum += (i === 0 || i === n - 1 ? 0.5 : 1) * sharedPower(from[i], to[i]);
  return sum / (n - 1);
}
