import {
  type DriveLoad,
  type JointDemand,
  type JointDrive,
  type JointName,
  largestCurrent,
  SHOWN_MOMENT_SIGN,
  type StrideDemand,
  shownMoment,
  torqueOf,
} from '@striderule/engine';
import { degrees } from '../show/unit.ts';
import type { Limit } from './scale.ts';

/** One quantity of one joint as the rule shows it. */
export interface Quantity {
  readonly key: string;
  readonly name: string;
  readonly unit: string;
  readonly decimals: number;
  readonly note: { readonly [joint in JointName]: string };
  /** Of this leg; undefined where the joint has none. */
  readonly of: (demand: JointDemand, load: DriveLoad | undefined) => Float64Array | undefined;
  readonly human?: (demand: JointDemand) => Float64Array;
  readonly limits?: (drive: JointDrive) => readonly Limit[];
  readonly gap: (joint: JointName) => string;
}

const ANGLE_SIGN = { hip: 'flexion +', knee: 'flexion +', ankle: 'dorsiflexion +' } as const;
const short = (joint: JointName): string => SHOWN_MOMENT_SIGN[joint].replace('positive', '+');
const MOMENT_SIGN = { hip: short('hip'), knee: short('knee'), ankle: short('ankle') };
const GENERATION = { hip: 'generation +', knee: 'generation +', ankle: 'generation +' } as const;

export const noMoment = (joint: JointName): string => `no ${joint} moment published for this task`;
const noMotor = (joint: JointName): string =>
  joint === 'hip' ? 'the hip is the wearer’s own: no motor' : noMoment(joint);

const bothWays = (value: number, text: string): readonly Limit[] => [
  { value, label: text },
  { value: -value, label: text },
];

/** What the rule stacks, in this order; moments, motor torque and current carry the shown sign. */
export const QUANTITIES: readonly Quantity[] = [
  {
    key: 'angle',
    name: 'Joint angle',
    unit: '°',
    decimals: 1,
    note: ANGLE_SIGN,
    of: (d) => d.angle.map(degrees),
    gap: (joint) => `no ${joint} angle published for this task`,
  },
  {
    key: 'speed',
    name: 'Joint speed',
    unit: '°/s',
    decimals: 0,
    note: ANGLE_SIGN,
    of: (d) => d.velocity.map(degrees),
    gap: (joint) => `no ${joint} angle published for this task`,
  },
  {
    key: 'moment',
    name: 'Joint moment',
    unit: 'N·m',
    decimals: 1,
    note: MOMENT_SIGN,
    of: (d) => d.moment.map(shownMoment),
    human: (d) => d.humanMoment.map(shownMoment),
    gap: noMoment,
  },
  {
    key: 'power',
    name: 'Joint power',
    unit: 'W',
    decimals: 0,
    note: GENERATION,
    of: (d) => d.power,
    gap: noMoment,
  },
  {
    key: 'motor-torque',
    name: 'Motor torque',
    unit: 'N·m',
    decimals: 2,
    note: MOMENT_SIGN,
    of: (_, load) => load?.motorTorque.map(shownMoment),
    limits: (drive) => {
      const most = torqueOf(drive.motor, largestCurrent(drive));
      return bothWays(most, `limit ${most.toFixed(2)}`);
    },
    gap: noMotor,
  },
  {
    key: 'current',
    name: 'Motor current',
    unit: 'A peak phase',
    decimals: 1,
    note: MOMENT_SIGN,
    of: (_, load) => load?.current.map(shownMoment),
    limits: (drive) => {
      const most = largestCurrent(drive);
      return bothWays(most, `limit ${most.toFixed(1)}`);
    },
    gap: noMotor,
  },
];

export const NO_FORCE = 'no ground force published for this task';

/** Ground force, N: the same arrays whatever joint is read. */
export const groundForceOf = (demand: StrideDemand): readonly [up: Float64Array, forward: Float64Array] => [
  demand.groundForce.vertical,
  demand.groundForce.foreAft,
];
