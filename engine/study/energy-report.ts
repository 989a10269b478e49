import { type BrakingBurst, brakingBurst, burningCurrent } from '../drive/braking-burst.ts';
import { packEnergy, stridesPerCharge } from '../drive/charge-range.ts';
import type { EnvelopeMargin } from '../drive/envelope-margin.ts';
import { largestCurrent } from '../drive/largest-current.ts';
import type { StrideEnergy } from '../drive/stride-energy.ts';
import { largestRipple } from '../drive/stride-ripple.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { type BusFacts, busFacts } from './bus-facts.ts';
import { type DesignResult, dutyTime } from './design.ts';
import { flowOn, type NoEnergy, type TaskEnergy, taskEnergy, taskMargin } from './energy.ts';
import { legSupply } from './leg-supply.ts';
import type { StudyInput } from './study-input.ts';

/** An extreme over a task and where it stands; index into the stride's samples. */
export interface Extreme {
  readonly value: number;
  readonly index: number;
}

/** What one task takes from the pack, and what the bus goes through. SI. */
export interface TaskReport {
  readonly id: string;
  readonly title: string;
  readonly kind: 'stride' | 'hold';
  /** s in the schedule; 0 where the task has no duty. */
  readonly duration: number;
  readonly energy: StrideEnergy;
  /** Net J, and largest A out of the pack, with winding and magnets at the winding's limit; or why not. */
  readonly hot: { readonly cells: number; readonly drawnCurrent: number } | NoEnergy;
  /** Strides and metres on one charge; absent for a hold, or where the leg file or the task does not say enough. */
  readonly strides?: number;
  readonly range?: number;
  readonly lowestVoltage: Extreme;
  readonly drawnCurrent: Extreme;
  /** A into the cells with what is fitted, were nothing else to hold the charge limit. */
  readonly chargeCurrent: Extreme;
  /** With a pack that takes nothing: J and largest W burnt in the windings; d and q current of the motor that burns ÷ the largest it may carry. */
  readonly full: { readonly energy: number; readonly power: number; readonly share: number };
  /** J returned in one go, and largest W returned. */
  readonly burst: BrakingBurst;
  /** By driven joint: hot, on the sagging bus. */
  readonly margins: { readonly [joint in DrivenJoint]?: EnvelopeMargin | NoEnergy };
  /** A rms in each bridge's capacitor at the worst instant. */
  readonly ripple: { readonly [joint in DrivenJoint]?: number };
}

/** Energy of a leg over its tasks. */
export interface LegEnergy {
  readonly tasks: readonly TaskReport[];
  /** Tasks of which there is no energy, and why. */
  readonly leftOut: readonly { readonly id: string; readonly title: string; readonly openBecause: string }[];
  readonly bus: BusFacts;
  /** J one charge gives; absent where the leg file does not say. */
  readonly charge?: number;
  /** J the schedule takes, and which of its tasks are not in it. */
  readonly schedule: { readonly energy: number; readonly time: number; readonly leftOut: readonly string[] };
}

function extreme(curve: Float64Array, sign: 1 | -1): Extreme {
  let index = 0;
  for (let i = 1; i < curve.length; i++) if (sign * curve[i] > sign * curve[index]) index = i;
  return { value: curve[index], index };
}

/** All tasks of a leg on its bus, or the field its file must gain. `design` must be what `evaluateDesign` made of this `input`. */
export function legEnergy(input: StudyInput, design: DesignResult): LegEnergy | NoEnergy {
  const known = legSupply(input.leg);
  if ('openBecause' in known) return known;
  const { capacity, usableShare } = input.leg.bus ?? {};
  const charge =
    capacity === undefined || usableShare === undefined
      ? undefined
      : usableShare * packEnergy(capacity, input.leg.busVoltage);
  const tasks: TaskReport[] = [];
  const leftOut: LegEnergy['leftOut'][number][] = [];
  const unscheduled: string[] = [];
  for (const [id, demand] of Object.entries(design.demands)) {
    const { title, duty } = demand.task;
    const task = taskEnergy(input, design, id, 'cold');
    const counts = duty.strides !== undefined || duty.duration !== undefined;
    if ('openBecause' in task) {
      leftOut.push({ id, title, openBecause: task.openBecause });
      if (counts) unscheduled.push(title);
    } else tasks.push(reportOf(input, design, id, task, charge));
  }
  const times = tasks.filter(({ duration }) => duration > 0);
  return {
    tasks,
    leftOut,
    bus: busFacts(
      input.leg,
      known,
      tasks.map(({ title, burst, full, energy }) => ({ title, burst, mean: full.energy / energy.time })),
    ),
    ...(charge !== undefined && { charge }),
    schedule: {
      energy: times.reduce((sum, { energy, duration }) => sum + (energy.cells / energy.time) * duration, 0),
      time: times.reduce((sum, { duration }) => sum + duration, 0),
      leftOut: unscheduled,
    },
  };
}

function reportOf(
  input: StudyInput,
  design: DesignResult,
  id: string,
  task: TaskEnergy,
  charge: number | undefined,
): TaskReport {
  const demand = design.demands[id]!;
  const { energy, known, parts } = task;
  const hot = taskEnergy(input, design, id, 'hot');
  const { chargeLimit: _, ...unlimited } = known.supply;
  const strides =
    charge === undefined || demand.kind !== 'stride' ? undefined : stridesPerCharge(charge, 1, energy.cells);
  const range =
    strides !== undefined && demand.kind === 'stride' && demand.speed > 0
      ? strides * demand.speed * demand.strideTime
      : undefined;
  const charging = extreme(flowOn(task, unlimited).current, -1);
  const total = new Float64Array(energy.asked.length);
  for (const power of energy.power) for (let i = 0; i < total.length; i++) total[i] += power[i];
  return {
    id,
    title: demand.task.title,
    kind: demand.kind === 'stride' ? 'stride' : 'hold',
    duration: dutyTime(demand) ?? 0,
    energy,
    hot:
      'openBecause' in hot
        ? hot
        : { cells: hot.energy.cells, drawnCurrent: Math.max(...hot.energy.flow.current) },
    ...(strides !== undefined && { strides }),
    ...(range !== undefined && { range }),
    lowestVoltage: extreme(energy.flow.voltage, -1),
    drawnCurrent: extreme(energy.flow.current, 1),
    chargeCurrent: { value: Math.max(-charging.value, 0), index: charging.index },
    full: whenFull(task),
    burst: brakingBurst(total, energy.time),
    margins: Object.fromEntries(
      known.joints.map(({ joint }) => [joint, taskMargin(input, design, id, joint)]),
    ),
    ripple: Object.fromEntries(
      known.joints.map(({ joint, drive }, k) => {
        const speed = design.loads[id]?.[joint]?.motorSpeed ?? new Float64Array(parts[k].current.length);
        return [joint, largestRipple(drive.motor, parts[k].current, speed, energy.flow.voltage)];
      }),
    ),
  };
}

/** The same task with a pack that takes nothing: the windings of the joint that returns most burn it, beside what it already carries. */
function whenFull(task: TaskEnergy): TaskReport['full'] {
  const { energy, known, parts } = task;
  const { windings } = flowOn(task, { ...known.supply, chargeLimit: 0 });
  const n = windings.length;
  let burnt = 0;
  let power = 0;
  let share = 0;
  for (let i = 0; i < n; i++) {
    if (windings[i] <= 0) continue;
    burnt += ((i === 0 || i === n - 1 ? 0.5 : 1) / (n - 1)) * windings[i];
    power = Math.max(power, windings[i]);
    let most = 0;
    for (let k = 1; k < parts.length; k++) if (energy.power[k][i] < energy.power[most][i]) most = k;
    const d = burningCurrent(known.joints[most].drive.motor.resistance, windings[i]);
    share = Math.max(share, Math.hypot(d, parts[most].current[i]) / largestCurrent(known.joints[most].drive));
  }
  return { energy: burnt * energy.time, power, share };
}
