import { brakeDuty, largestBrakeResistance } from '../drive/brake-resistor.ts';
import { type PackOpen, packOpen } from '../drive/pack-open.ts';
import type { StrideDemand } from '../gait/demand-result.ts';
import { type DesignResult, DRIVEN } from './design.ts';
import type { StudyInput } from './study-input.ts';

/** The pack opens in one task. */
export interface TaskPackOpen {
  readonly id: string;
  readonly title: string;
  /** Per cent of the stride at which it opens, and at which the bus is highest. */
  readonly opensAt: number;
  readonly highestAt: number;
  readonly bus: PackOpen;
  /** Returned power ÷ what the brake resistor takes at its threshold: above 1 the bus rises beyond it. Absent without a resistor. */
  readonly resistorLoad?: number;
  /** Share of the time the resistor is on were all that is returned over the stride sent through it. Absent without a resistor. */
  readonly resistorDuty?: number;
}

/** The pack opens while the joints brake, over the tasks. */
export interface LegPackOpen {
  readonly voltage: number;
  readonly capacitance: number;
  readonly overVoltage?: number;
  /** Largest resistor, Ω, that would take every task's returned power at the threshold there is. */
  readonly resistorFor?: number;
  /** The bus with its highest voltage first. */
  readonly tasks: readonly TaskPackOpen[];
  /** Tasks without moments of every driven joint. */
  readonly leftOut: readonly string[];
  /** Tasks that ask for a torque no current gives: what they return is not known. */
  readonly beyondReach: readonly string[];
}

/** W that one task's joints take from the bus: Σ τ_m·ω + 1.5·R·i². NaN where a joint has no moment; undefined without its curve. */
function taskPower(input: StudyInput, design: DesignResult, id: string): Float64Array | undefined {
  const power = new Float64Array((design.demands[id] as StrideDemand).percent.length);
  for (const joint of DRIVEN) {
    const drive = input.leg.joints[joint];
    if (drive === undefined) continue;
    const load = design.loads[id]?.[joint];
    if (load === undefined) return undefined;
    const { motorTorque, motorSpeed, current } = load;
    for (let i = 0; i < power.length; i++)
      power[i] += motorTorque[i] * motorSpeed[i] + 1.5 * drive.motor.resistance * current[i] ** 2;
  }
  return power;
}

// By the design it was made from: pure, so remembering it changes nothing but time.
const made = new WeakMap<DesignResult, LegPackOpen | { readonly openBecause: string }>();

/**
 * What the bus does when the pack opens at the worst instant of each task. Both joints' powers are summed first: what one draws the
 * other need not burn. `design` must be what `evaluateDesign` made of this `input`.
 */
export function legPackOpen(
  input: StudyInput,
  design: DesignResult,
): LegPackOpen | { readonly openBecause: string } {
  const open = made.get(design) ?? packOpenOf(input, design);
  made.set(design, open);
  return open;
}

function packOpenOf(input: StudyInput, design: DesignResult): LegPackOpen | { readonly openBecause: string } {
  const { bus, busVoltage, joints } = input.leg;
  if (DRIVEN.every((joint) => joints[joint] === undefined)) return { openBecause: 'the leg drives no joint' };
  if (Number.isNaN(busVoltage))
    return { openBecause: 'the leg file has no bus: add `bus` with its `nominalVoltage`' };
  if (bus?.capacitance === undefined)
    return { openBecause: 'the leg file does not say what is on the bus: add `capacitance` under `bus`' };
  const { capacitance, brakeResistor, overVoltage } = bus;
  const tasks: TaskPackOpen[] = [];
  const leftOut: string[] = [];
  const beyondReach: string[] = [];
  for (const [id, demand] of Object.entries(design.demands)) {
    const { title } = demand.task;
    const power = demand.kind === 'stride' ? taskPower(input, design, id) : undefined;
    const moments = DRIVEN.every((joint) => !Number.isNaN(design.loads[id]?.[joint]?.peakTorque));
    if (demand.kind !== 'stride' || power === undefined || !moments) {
      leftOut.push(title);
      continue;
    }
    if (power.some(Number.isNaN)) {
      beyondReach.push(title);
      continue;
    }
    const open = packOpen(power, demand.strideTime / (power.length - 1), {
      voltage: busVoltage,
      capacitance,
      ...(brakeResistor && { brakeResistor }),
    });
    tasks.push({
      id,
      title,
      opensAt: demand.percent[open.opensAt],
      highestAt: demand.percent[open.highestAt],
      bus: open,
      ...(brakeResistor && {
        resistorLoad: (open.peakReturn * brakeResistor.resistance) / brakeResistor.threshold ** 2,
        resistorDuty: brakeDuty(brakeResistor.resistance, brakeResistor.threshold, open.meanReturn),
      }),
    });
  }
  tasks.sort((a, b) => b.bus.voltage - a.bus.voltage || b.bus.energy - a.bus.energy);
  const most = Math.max(...tasks.map(({ bus: { peakReturn } }) => peakReturn));
  return {
    voltage: busVoltage,
    capacitance,
    ...(overVoltage !== undefined && { overVoltage }),
    ...(brakeResistor && most > 0 && { resistorFor: largestBrakeResistance(brakeResistor.threshold, most) }),
    tasks,
    leftOut,
    beyondReach,
  };
}
