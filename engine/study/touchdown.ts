import { contactPeak } from '../drive/heel-contact.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import { touchdownMass } from '../drive/touchdown-mass.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { DesignResult } from './design.ts';
import type { StudyInput } from './study-input.ts';

/** m/s at which the heel closes on the ground: a firm step, our choice; the force grows about as its power of 1.2. */
export const TOUCHDOWN_SPEED = 0.5;

/** The leg's first touch in the task in which it is heaviest. kg, N, m. */
export interface LegTouchdown {
  readonly task: string;
  readonly title: string;
  /** Effective mass of the heel, and peak force at TOUCHDOWN_SPEED. */
  readonly mass: number;
  readonly force: number;
  readonly depth: number;
  /** The same leg with rotors and gears that weigh nothing. */
  readonly massWithoutRotors: number;
  readonly forceWithoutRotors: number;
  /** Tasks whose pose at contact is not known, or in which another point than the heel touches first. */
  readonly leftOut: readonly string[];
}

/**
 * Peak force of the leg's own heel on level ground at unchanged thigh motion, hip and trunk infinitely heavy: an upper bound, and how
 * one leg is compared with another. Pose from each task's curves at initial contact; `ratio` puts another ratio into every driven joint
 * and keeps motor and gears. Only the task `only` where it is given. The reason where there is none.
 */
export function legTouchdown(
  input: StudyInput,
  design: DesignResult,
  { ratio, only }: { readonly ratio?: number; readonly only?: string } = {},
): LegTouchdown | { readonly openBecause: string } {
  const { leg } = input;
  const { heelStiffness, damping } = leg.foot;
  if (heelStiffness === undefined || damping === undefined)
    return {
      openBecause: `the leg file’s \`foot\` has no \`${heelStiffness === undefined ? 'heelStiffness' : 'damping'}\`, and force at touchdown is the heel’s: add it`,
    };
  const rotor = (joint: DrivenJoint): number => {
    const drive = leg.joints[joint];
    if (drive === undefined) return 0;
    const { motor, transmission } = drive;
    return reflectedInertia(motor, ratio === undefined ? transmission : { ...transmission, ratio });
  };
  const rotors = { knee: rotor('knee'), ankle: rotor('ankle') };
  const contact = { stiffness: heelStiffness, damping };
  let heaviest: LegTouchdown | undefined;
  const leftOut: string[] = [];
  for (const [task, demand] of Object.entries(design.demands)) {
    const { title } = demand.task;
    if (only !== undefined && task !== only) continue;
    const pose =
      demand.kind === 'stride' && demand.joints.knee !== undefined && demand.joints.ankle !== undefined
        ? {
            thigh: demand.thigh[0],
            knee: demand.joints.knee.angle[0],
            ankle: demand.joints.ankle.angle[0],
          }
        : undefined;
    if (pose === undefined || Number.isNaN(pose.thigh + pose.knee + pose.ankle)) {
      leftOut.push(title);
      continue;
    }
    const with_ = touchdownMass(leg.segments, pose, rotors);
    if (with_.ahead > 0) {
      leftOut.push(title);
      continue;
    }
    if (heaviest !== undefined && with_.mass <= heaviest.mass) continue;
    const massWithoutRotors = touchdownMass(leg.segments, pose, { knee: 0, ankle: 0 }).mass;
    heaviest = {
      task,
      title,
      mass: with_.mass,
      ...contactPeak(contact, with_.mass, TOUCHDOWN_SPEED),
      massWithoutRotors,
      forceWithoutRotors: contactPeak(contact, massWithoutRotors, TOUCHDOWN_SPEED).force,
      leftOut,
    };
  }
  if (heaviest !== undefined) return heaviest;
  return {
    openBecause:
      only === undefined
        ? 'no task tells thigh, knee and ankle angle at initial contact with the heel first'
        : `task ${only} does not tell thigh, knee and ankle angle at initial contact with the heel first`,
  };
}
