import type { Supply } from '../drive/battery.ts';
import { type BusFlow, busFlow } from '../drive/bus-flow.ts';
import { driveLoad, type JointTrajectory } from '../drive/drive-load.ts';
import { type EnvelopeMargin, envelopeMargin } from '../drive/envelope-margin.ts';
import { type JointPower, jointPower } from '../drive/joint-power.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import { type StrideEnergy, strideEnergy } from '../drive/stride-energy.ts';
import type { MotorTemperatures } from '../drive/warm-motor.ts';
import type { Demand } from '../gait/demand-result.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { DesignResult } from './design.ts';
import { type LegSupply, legSupply } from './leg-supply.ts';
import type { StudyInput } from './study-input.ts';

/** Why there is no number; `beyond` where it is because the task asks for more than there is, which is never passed over. */
export type NoEnergy = { readonly openBecause: string; readonly beyond?: true };

/** How warm the motors are: as the leg file gives them, or winding and magnets at the winding's limit. */
export type Warmth = 'cold' | 'hot';

/** One task of a leg on its bus. */
export interface TaskEnergy {
  readonly known: LegSupply;
  readonly parts: readonly JointPower[];
  readonly energy: StrideEnergy;
}

const SAMPLES_OF_A_HOLD = 3;

/** A joint that holds a moment without moving, as a trajectory of a few equal samples. */
const hold = (moment: number): JointTrajectory => ({
  angle: new Float64Array(SAMPLES_OF_A_HOLD),
  velocity: new Float64Array(SAMPLES_OF_A_HOLD),
  acceleration: new Float64Array(SAMPLES_OF_A_HOLD),
  moment: new Float64Array(SAMPLES_OF_A_HOLD).fill(moment),
});

function trajectoryOf(demand: Demand, joint: DrivenJoint): JointTrajectory | NoEnergy {
  const { id } = demand.task;
  if (demand.kind === 'standing') return hold(joint === 'ankle' ? demand.ankleMoment : 0);
  const own = demand.kind === 'stride' ? demand.joints[joint] : undefined;
  if (own === undefined || own.moment.some(Number.isNaN))
    return { openBecause: `task ${id} has no ${joint} curve with moments` };
  return own;
}

/** Winding and magnets at the winding's limit: the warmest the leg file allows. */
function temperaturesOf(
  { thermal }: JointDrive,
  joint: DrivenJoint,
  warmth: Warmth,
): MotorTemperatures | undefined | NoEnergy {
  if (warmth === 'cold') return undefined;
  if (thermal === undefined)
    return {
      openBecause: `the leg file has no \`thermal\` for the ${joint}, so how warm its motor may get is not known: add it`,
    };
  return { winding: thermal.windingLimit, magnets: thermal.windingLimit };
}

// Energy by the design it was made from: pure, so remembering it changes nothing but time.
const made = new WeakMap<DesignResult, Map<string, TaskEnergy | NoEnergy>>();

/**
 * Energy of one task, a stride or a hold, on the leg's own bus. `design` must be what `evaluateDesign` made of this `input`. Every driven
 * joint must have a curve with moments: a leg of which one joint is not known has no energy. Gives the reason where there is none.
 */
export function taskEnergy(
  input: StudyInput,
  design: DesignResult,
  id: string,
  warmth: Warmth,
): TaskEnergy | NoEnergy {
  const known = made.get(design) ?? new Map<string, TaskEnergy | NoEnergy>();
  made.set(design, known);
  const key = `${warmth} ${id}`;
  const found = known.get(key) ?? energyOf(input, design, id, warmth);
  known.set(key, found);
  return found;
}

function energyOf(
  { leg }: StudyInput,
  design: DesignResult,
  id: string,
  warmth: Warmth,
): TaskEnergy | NoEnergy {
  const known = legSupply(leg);
  if ('openBecause' in known) return known;
  const demand = design.demands[id]!;
  const parts: JointPower[] = [];
  for (const { joint, drive, bridge } of known.joints) {
    const temperatures = temperaturesOf(drive, joint, warmth);
    if (temperatures !== undefined && 'openBecause' in temperatures) return temperatures;
    const trajectory = trajectoryOf(demand, joint);
    if ('openBecause' in trajectory) return trajectory;
    const load = design.loads[id]?.[joint] ?? driveLoad(drive, trajectory, leg.busVoltage);
    const part = jointPower(drive, trajectory, load.motorTorque, bridge, temperatures);
    if (Number.isNaN(part.mean.copper))
      return {
        openBecause: `task ${id}: no current gives the ${load.peakTorque.toPrecision(3)} N·m it asks of the ${joint} motor, which is beyond saturation`,
        beyond: true,
      };
    parts.push(part);
  }
  const time =
    demand.kind === 'stride' ? demand.strideTime : demand.kind === 'standing' ? demand.duration : 0;
  const energy = strideEnergy(parts, known.supply, known.brake, time);
  if (Number.isNaN(energy.cells)) {
    const sum = parts[0].power.map((_, i) => parts.reduce((total, { power }) => total + power[i], 0));
    const most = Math.max(...sum);
    return {
      openBecause: `task ${id}: the joints together ask for up to ${most.toFixed(0)} W, more than the pack can give at any voltage`,
      beyond: true,
    };
  }
  return { known, parts, energy };
}

/** The bus in the same task with other limits: what the cells would take were nothing to hold them, or were they full. */
export const flowOn = ({ known, energy }: TaskEnergy, supply: Supply): BusFlow =>
  busFlow(supply, known.brake, energy.asked, energy.perVolt);

/**
 * Margins of one joint on the sagging bus, winding and magnets at the winding's limit, while the other joint draws what it does. The
 * discharge limit of the cells is left out: it is both joints', and neither's margin. Ask the current out of the pack for it.
 */
export function taskMargin(
  input: StudyInput,
  design: DesignResult,
  id: string,
  joint: DrivenJoint,
): EnvelopeMargin | NoEnergy {
  const task = taskEnergy(input, design, id, 'hot');
  if ('openBecause' in task) return task;
  const { known, energy } = task;
  const index = known.joints.findIndex((own) => own.joint === joint);
  if (index < 0) return { openBecause: `the leg has no ${joint} drive` };
  const { drive, bridge } = known.joints[index];
  const trajectory = trajectoryOf(design.demands[id]!, joint) as JointTrajectory;
  const load = design.loads[id]?.[joint] ?? driveLoad(drive, trajectory, input.leg.busVoltage);
  const other = new Float64Array(load.motorTorque.length);
  energy.power.forEach((power, k) => {
    if (k !== index) for (let i = 0; i < other.length; i++) other[i] += power[i];
  });
  const temperatures = temperaturesOf(drive, joint, 'hot') as MotorTemperatures;
  const { dischargeLimit: _, ...supply } = known.supply;
  return envelopeMargin(
    drive,
    { supply, bridge, temperatures },
    trajectory.velocity,
    load.motorTorque,
    other,
  );
}
