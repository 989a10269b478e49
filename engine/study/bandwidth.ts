import { type CurrentLoop, crossoverOfBandwidth, currentLoop, loopDelay } from '../drive/current-loop.ts';
import type { DriveLoad } from '../drive/drive-load.ts';
import { largestCurrent } from '../drive/largest-current.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import { linkInertia } from '../drive/link-inertia.ts';
import { drivenTorque } from '../drive/peaks-load.ts';
import { type PositionReach, positionReach } from '../drive/position-reach.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import { backEmf, saturationFrequency, torqueSlew } from '../drive/saturation-frequency.ts';
import {
  jointDamping,
  outputLockedTorque,
  type TorqueReach,
  type TorqueResponse,
  torqueReach,
} from '../drive/torque-bandwidth.ts';
import { phaseVoltageLimit } from '../drive/voltage-limit.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { DesignResult } from './design.ts';
import type { StudyInput } from './study-input.ts';

/** Shares of the joint's own peak torque at which its swing is quoted, and the one of the ledger. Our choice. */
const TORQUE_SHARES = [0.1, 0.5, 0.9] as const;
const LEDGER_SHARE = 0.5;
/** Swings at which position is quoted, rad to either side, and the one of the ledger. Our choice: 3°, 6°, 17°. */
const SWINGS = [0.05, 0.1, 0.3] as const;
const LEDGER_SWING = 0.1;

/** What the bus lets through of one task's current. */
export interface TaskCurrent {
  /** The task's own peak, A peak phase. */
  readonly current: number;
  /** Its fastest shaft, rad/s, and what that induces, V. */
  readonly shaftSpeed: number;
  readonly emf: number;
  /** Hz, the two taken together and in phase; NaN where not even a steady current passes. */
  readonly frequency: number;
}

/** How fast one joint's current, torque and position can be told what to do. Hz; always with amplitude, bus and load. */
export interface JointBandwidth {
  /** V */
  readonly busVoltage: number;
  /** The current controller as built, or why it is not known. */
  readonly loop: (CurrentLoop & { readonly crossover: number }) | { readonly openBecause: string };
  /** At the current limit, rotor at a standstill: A, Hz, and the steepest rise of motor torque from none, N·m/s. */
  readonly limit: { readonly current: number; readonly frequency: number; readonly slew: number };
  /** Tasks with a moment, by id. */
  readonly tasks: Readonly<Record<string, TaskCurrent>>;
  readonly torque: TorqueResponse;
  /** At shares of the joint's peak torque. */
  readonly torqueReaches: readonly TorqueReach[];
  /** What hangs on the joint and the rotor seen there, kg·m². */
  readonly linkInertia: number;
  readonly rotorInertia: number;
  readonly positionReaches: readonly PositionReach[];
}

/** Why the current loop's margin is not known, or the loop. */
function loopOf(drive: JointDrive, joint: DrivenJoint): JointBandwidth['loop'] {
  const { currentBandwidth } = drive;
  const switching = drive.inverter?.switchingFrequency;
  const missing = [
    currentBandwidth === undefined ? '`currentBandwidth`' : '',
    switching === undefined ? '`switchingFrequency`' : '',
  ].filter((name) => name !== '');
  if (currentBandwidth === undefined || switching === undefined)
    return {
      openBecause: `the leg file’s \`electronics\` of the ${joint} have no ${missing.join(' and no ')}: add what the current loop is built for`,
    };
  const delay = loopDelay(switching);
  const crossover = crossoverOfBandwidth(currentBandwidth, delay);
  return { ...currentLoop(drive.motor, crossover, delay), crossover };
}

/** Bus-limited frequency of a task's peak current at its fastest shaft: both at once, which is worse than they come. */
export function taskCurrent(drive: JointDrive, busVoltage: number, load: DriveLoad): TaskCurrent {
  let shaftSpeed = 0;
  const { motorSpeed } = load;
  for (let i = 0; i < motorSpeed.length; i++) shaftSpeed = Math.max(shaftSpeed, Math.abs(motorSpeed[i]));
  const emf = backEmf(drive.motor, shaftSpeed);
  const voltage = phaseVoltageLimit(busVoltage, drive);
  return {
    current: load.peakCurrent,
    shaftSpeed,
    emf,
    frequency: saturationFrequency(drive.motor, voltage, load.peakCurrent, emf),
  };
}

/** Rotor on the gears of one joint, small signals. */
export const jointTorqueResponse = (drive: JointDrive): TorqueResponse =>
  outputLockedTorque(
    reflectedInertia(drive.motor, drive.transmission),
    drive.transmission.torsionalStiffness,
    jointDamping(drive),
  );

/** Half of the joint's peak torque, to and fro. */
export const ledgerTorqueReach = (drive: JointDrive, busVoltage: number): TorqueReach =>
  torqueReach(drive, busVoltage, LEDGER_SHARE * drivenTorque(drive));

/** A tenth of a radian, to and fro. */
export const ledgerPositionReach = (drive: JointDrive, busVoltage: number, link: number): PositionReach =>
  positionReach(drive, busVoltage, link, LEDGER_SWING);

/**
 * Bandwidth of one joint of a design, or why there is none. `design` must be what `evaluateDesign` made of this `input`. Everything a
 * table shows; the ledger asks for single figures.
 */
export function jointBandwidth(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
): JointBandwidth | { readonly openBecause: string } {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
  const { busVoltage, segments } = input.leg;
  const { motor, transmission } = drive;
  const voltage = phaseVoltageLimit(busVoltage, drive);
  const current = largestCurrent(drive);
  const link = linkInertia(joint, segments);
  const tasks: Record<string, TaskCurrent> = {};
  for (const [id, loads] of Object.entries(design.loads)) {
    const load = loads[joint];
    if (load !== undefined && !Number.isNaN(load.peakTorque))
      tasks[id] = taskCurrent(drive, busVoltage, load);
  }
  return {
    busVoltage,
    loop: loopOf(drive, joint),
    limit: {
      current,
      frequency: saturationFrequency(motor, voltage, current, 0),
      slew: torqueSlew(motor, voltage, 0, 0),
    },
    tasks,
    torque: jointTorqueResponse(drive),
    torqueReaches: TORQUE_SHARES.map((share) => torqueReach(drive, busVoltage, share * drivenTorque(drive))),
    linkInertia: link,
    rotorInertia: reflectedInertia(motor, transmission),
    positionReaches: SWINGS.map((swing) => positionReach(drive, busVoltage, link, swing)),
  };
}
