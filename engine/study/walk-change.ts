import type { DrivenJoint, StrideCurve } from '../gait/stride.ts';
import { COMMAND, MEASURED, MEASURED_SIZE, type WalkController } from '../walk/walk-controller.ts';

/** Spring and damper of a joint ÷ those that the walk is planned with. */
export interface ImpedanceChange {
  readonly stiffness: number;
  readonly damping: number;
}

/** What of software and set-up is otherwise than planned. Factors of 1 and angles of 0 change nothing. */
export interface WalkChange {
  /** About the equilibrium angle as it is. */
  readonly stance: { readonly [joint in DrivenJoint]: ImpedanceChange };
  readonly swing: { readonly [joint in DrivenJoint]: ImpedanceChange };
  /** Torque constant ÷ the one that the software counts with. */
  readonly torqueConstant: { readonly [joint in DrivenJoint]: number };
  /** Rad by which the foot is set further up than the software takes it to be. */
  readonly ankleNeutral: number;
  /** Rad by which the thigh is read further forward than it is. */
  readonly thighReading: number;
  /**
   * Rad by which the socket holds the limb further flexed: the device's thigh lies so much further back at the same motion of the limb. The
   * sensor is set anew, so that it reads the limb as before.
   */
  readonly socketFlexion: number;
}

const PLANNED: ImpedanceChange = { stiffness: 1, damping: 1 };

/** As planned. */
export const NO_CHANGE: WalkChange = {
  stance: { knee: PLANNED, ankle: PLANNED },
  swing: { knee: PLANNED, ankle: PLANNED },
  torqueConstant: { knee: 1, ankle: 1 },
  ankleNeutral: 0,
  thighReading: 0,
  socketFlexion: 0,
};

/** The same controller behind this change: it reads foot and thigh where they are not, and its torques come out by the constant's error. */
export function changedController(controller: WalkController, change: WalkChange): WalkController {
  const { torqueConstant, ankleNeutral, thighReading, socketFlexion } = change;
  const { copy } = controller;
  const read = new Float64Array(MEASURED_SIZE);
  const misread = (measured: Float64Array): Float64Array => {
    read.set(measured);
    read[MEASURED.ankle] -= ankleNeutral;
    read[MEASURED.thigh] += thighReading + socketFlexion;
    return read;
  };
  return {
    begin: (measured, phase) => controller.begin(misread(measured), phase),
    tick: (measured, command) => {
      controller.tick(misread(measured), command);
      command[COMMAND.knee] *= torqueConstant.knee;
      command[COMMAND.ankle] *= torqueConstant.ankle;
    },
    ...(copy !== undefined && { copy: () => changedController(copy(), change) }),
  };
}

/** A curve `by` higher everywhere. */
export const raised = (curve: StrideCurve, by: number): StrideCurve =>
  curve.form === 'series'
    ? { ...curve, mean: curve.mean + by }
    : { ...curve, value: curve.value.map((y) => y + by) };
