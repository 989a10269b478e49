import type { Controller } from '../control/controller.ts';
import type { ThighSensor } from '../control/thigh-sensor.ts';
import type { Bus, JointDrive, JointThermal, Motor } from '../drive/leg-drive.ts';
import type { Requirement } from '../evidence/requirement.ts';
import type { DrivenJoint, LegSegments, Stride, Wearer } from '../gait/stride.ts';
import type { Task } from '../gait/task.ts';
import type { Spread } from '../quantity/spread.ts';
import type { PassiveJoint } from '../walk/passive-joint.ts';
import type { Scenario } from '../walk/walk-scenario.ts';

/** The leg as the stages read it: SI numbers only. What later stages read stays in the leg file until they come. */
export interface Leg {
  readonly name: string;
  readonly version: string;
  readonly side: 'left' | 'right' | 'either';
  readonly segments: LegSegments;
  readonly joints: { readonly [joint in DrivenJoint]?: JointDrive };
  /** Joints that no motor moves; left out: none. */
  readonly passiveJoints?: {
    readonly [joint in DrivenJoint]?: PassiveJoint & Pick<JointDrive, 'range' | 'endStop'>;
  };
  /** Nominal bus voltage, V. */
  readonly busVoltage: number;
  readonly bus?: Bus;
  /** Sole on the ground, force = k·d^1.5·(1 + c·ḋ) each: N/m^1.5, s/m. */
  readonly foot: {
    readonly heelStiffness?: number;
    readonly toeStiffness?: number;
    readonly damping?: number;
  };
  /** Period of the control loop, s, and periods from sample to torque; left out: not known. */
  readonly controller?: { readonly period: number; readonly delayPeriods: number };
  /** What reads the thigh. */
  readonly thighSensor?: ThighSensor;
  /** Of the force along the shank: standard deviation of one sample, N; left out: not known. */
  readonly axialLoad?: { readonly noise: number };
  /** Air around the leg for which heat is asked, K; NaN where the leg file does not say. */
  readonly ambientTemperature: number;
}

/** A motor that may take the place of the leg's, with its heat path where the catalogue gives one. */
export interface CatalogueMotor {
  readonly motor: Motor;
  readonly thermal?: JointThermal;
}

/** The study's motors, and those that lack something the drive needs. */
export interface MotorCatalogue {
  readonly motors: readonly CatalogueMotor[];
  readonly leftOut: readonly { readonly name: string; readonly lacks: readonly string[] }[];
}

/** The chosen controller, and the fingerprint of all that its file says but the notice. */
export interface StudyController {
  readonly id: string;
  readonly fingerprint: string;
  readonly controller: Controller;
}

/** One study as plain data: the same record in the library, the command line, the server and the page. */
export interface StudyInput {
  readonly name: string;
  /** True where any part is invented: every face then shows the demo mark. */
  readonly demo: boolean;
  readonly wearer: Wearer;
  readonly leg: Leg;
  /** Spreads of the leg's numbers; paths inside `leg`, such as `joints.knee.motor.coulombDrag`. */
  readonly spreads: readonly Spread[];
  /** Strides by id: shipped reference and the laboratory's own. */
  readonly strides: { readonly [id: string]: Stride };
  readonly tasks: readonly Task[];
  readonly requirements: readonly Requirement[];
  /** Left out: no motor but the leg's own. */
  readonly catalogue?: MotorCatalogue;
  /** What the leg's software does; left out: the study names none. */
  readonly controller?: StudyController;
  /** Walks that the study keeps; left out: none. */
  readonly scenarios?: readonly Scenario[];
}
