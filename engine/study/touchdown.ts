import { contactPeak } from '../drive/heel-contact.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import { touchdownMass } from '../drive/touchdown-mass.ts';
import type { Demand } from '../gait/demand-result.ts';
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
  let heaviest: Pose | undefined;
  let mass = 0;
  const leftOut: string[] = [];
  for (const [task, demand] of Object.entries(design.demands)) {
    if (only !== undefined && task !== only) continue;
    const pose = poseOf(task, demand);
    const touch = pose && touchdownMass(leg.segments, pose, rotors);
    if (touch === undefined || touch.ahead > 0) leftOut.push(demand.task.title);
    else if (touch.mass > mass) [heaviest, mass] = [pose, touch.mass];
  }
  if (heaviest === undefined)
    return {
      openBecause: `${only === undefined ? 'no task tells' : `task ${only} does not tell`} thigh, knee and ankle angle at initial contact with the heel first`,
    };
  const massWithoutRotors = touchdownMass(leg.segments, heaviest, { knee: 0, ankle: 0 }).mass;
  return {
    task: heaviest.task,
    title: heaviest.title,
    mass,
    ...contactPeak(contact, mass, TOUCHDOWN_SPEED),
    massWithoutRotors,
    forceWithoutRotors: contactPeak(contact, massWithoutRotors, TOUCHDOWN_SPEED).force,
    leftOut,
  };
}

interface Pose {
  readonly task: string;
  readonly title: string;
  readonly thigh: number;
  readonly knee: number;
  readonly ankle: number;
}

/** The leg at initial contact; undefined where any of the three angles is not known. */
function poseOf(task: string, demand: Demand): Pose | undefined {
  if (demand.kind !== 'stride') return undefined;
  const { knee, ankle } = demand.joints;
  const pose = {
    task,
    title: demand.task.title,
    thigh: demand.thigh[0],
    knee: knee?.angle[0] ?? Number.NaN,
    ankle: ankle?.angle[0] ?? Number.NaN,
  };
  return Number.isNaN(pose.thigh + pose.knee + pose.ankle) ? undefined : pose;
}
