import type { Supply } from '../drive/battery.ts';
import type { PhaseShort } from '../drive/shorted-phases.ts';
import type { WalkingLeg } from './leg-chain.ts';
import type { OwnMotion } from './own-motion.ts';
import type { PassiveJoint } from './passive-joint.ts';
import type { Seat } from './seat.ts';
import type { BelowCut } from './segment-load.ts';
import type { Sole } from './sole-contact.ts';
import type { Stops } from './stop-torque.ts';
import type { Terrain } from './terrain.ts';
import type { WalkController } from './walk-controller.ts';
import type { CourseOf, OwnCourse, Pace } from './walk-course.ts';
import type { WalkDrive } from './walk-drive.ts';
import type { WalkFault } from './walk-fault.ts';

/** What any joint of a walking leg has. */
interface JointOfWalk {
  readonly stops: Stops;
  /** Of the reference: there the walk begins. */
  readonly reference: OwnMotion;
}

/** One driven joint of the walking leg. */
export interface WalkJoint extends JointOfWalk {
  readonly drive: WalkDrive;
  /** Side of the gears on which the encoder sits that closes the loop; its step seen at the joint, rad. */
  readonly encoderAt: 'motor' | 'joint';
  readonly encoderStep: number;
  /** Step of a second encoder, at the joint; left out: there is none. */
  readonly secondStep?: number;
  /** What the phases do when power is lost; left out: not known. */
  readonly lost?: PhaseShort;
}

/** One joint without a drive. */
export interface WalkPassiveJoint extends JointOfWalk {
  readonly passive: PassiveJoint;
}

/** What any walk is made of. */
interface WalkOf {
  readonly leg: WalkingLeg;
  readonly sole: Sole;
  readonly course: CourseOf | OwnCourse;
  /** Prescribed: the wearer's thigh does what the reference does, whatever it takes. Else a spring and damper lead it there: N·m/rad, N·m·s/rad. */
  readonly thigh: 'prescribed' | { readonly stiffness: number; readonly damping: number };
  /** What leads the hip's height: N/m, N·s/m. */
  readonly guide: { readonly stiffness: number; readonly damping: number };
  readonly ground: 'treadmill' | 'overground';
  /** Share of the course's own pace over time; left out: always 1. */
  readonly pace?: Pace;
  /** Left out: level. */
  readonly terrain?: Terrain;
  /** Under the hip; left out: nobody sits. */
  readonly seat?: Seat;
  /** A fresh one for each walk. */
  readonly controller: () => WalkController;
  /** Of the controller, s: and of the log. */
  readonly period: number;
  /** What is below the socket's end; left out: not known where that is. */
  readonly socket?: BelowCut;
}

/** A walk of a leg without drives: its controller commands nothing, and tells stance from swing for the log alone. */
export interface PassiveSetup extends WalkOf {
  readonly knee: WalkPassiveJoint;
  readonly ankle: WalkPassiveJoint;
}

/** All that a walk of a driven leg is made of. */
export interface WalkSetup extends WalkOf {
  readonly knee: WalkJoint;
  readonly ankle: WalkJoint;
  /** Whole periods from sample to torque, and of the thigh's sensor. */
  readonly delayPeriods: number;
  readonly thighDelayPeriods: number;
  /** a of the speed's filter. */
  readonly filterPole: number;
  readonly supply: Supply & { readonly chargeLimit: number };
  /** F, Ω and V of what is on the bus beside the pack; left out: not known. */
  readonly bus?: {
    readonly capacitance: number;
    readonly brakeResistor?: { readonly resistance: number; readonly threshold: number };
    readonly overVoltage?: number;
  };
  /** Standard deviation of one sample, rad/s of the thigh's rate and N of the load, and any integer; left out: sensors are without noise. */
  readonly noise?: { readonly thighRate: number; readonly load: number; readonly seed: number };
  /** K: air, and of the motors at the start. */
  readonly ambient: number;
  readonly temperature: number;
  /** What goes wrong; left out: nothing. */
  readonly fault?: WalkFault;
}
