import type { Supply } from '../drive/battery.ts';
import type { PhaseShort } from '../drive/shorted-phases.ts';
import type { WalkingLeg } from './leg-chain.ts';
import type { BelowCut } from './segment-load.ts';
import type { Sole } from './sole-contact.ts';
import type { Stops } from './stop-torque.ts';
import type { WalkController } from './walk-controller.ts';
import type { CourseOf } from './walk-course.ts';
import type { WalkDrive } from './walk-drive.ts';

/** One joint of the walking leg. */
export interface WalkJoint {
  readonly drive: WalkDrive;
  readonly stops: Stops;
  /** Step of the encoder seen at the joint, rad. */
  readonly encoderStep: number;
  /** rad at the start, of the reference, over its stride phase. */
  readonly reference: (place: number) => { readonly angle: number; readonly rate: number };
}

/** All that a walk is made of. */
export interface WalkSetup {
  readonly leg: WalkingLeg;
  readonly sole: Sole;
  readonly knee: WalkJoint;
  readonly ankle: WalkJoint;
  readonly course: CourseOf;
  /** Prescribed: the wearer's thigh does what the reference does, whatever it takes. Else a spring and damper lead it there: N·m/rad, N·m·s/rad. */
  readonly thigh: 'prescribed' | { readonly stiffness: number; readonly damping: number };
  /** What leads the hip's height: N/m, N·s/m. */
  readonly guide: { readonly stiffness: number; readonly damping: number };
  readonly ground: 'treadmill' | 'overground';
  /** A fresh one for each walk. */
  readonly controller: () => WalkController;
  /** Of the controller, s; whole periods from sample to torque, and of the thigh's sensor. */
  readonly period: number;
  readonly delayPeriods: number;
  readonly thighDelayPeriods: number;
  /** a of the speed's filter. */
  readonly filterPole: number;
  readonly supply: Supply & { readonly chargeLimit: number };
  /** K: air, and of the motors at the start. */
  readonly ambient: number;
  readonly temperature: number;
  /** When both joints lose power, s from the start, and what their phases do then; left out: never. */
  readonly powerCut?: { readonly time: number; readonly knee: PhaseShort; readonly ankle: PhaseShort };
  /** What is below the socket's end; left out: not known where that is. */
  readonly socket?: BelowCut;
}
