import type { JointDrive } from '../drive/leg-drive.ts';
import type { PhaseShort } from '../drive/shorted-phases.ts';
import { unpoweredSwing } from '../drive/unpowered-swing.ts';
import { carriedLimb } from '../gait/carried-limb.ts';
import { taskStride } from '../gait/demand.ts';
import type { Demand, StrideDemand } from '../gait/demand-result.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { type Rad, rad } from '../quantity/angle.ts';
import type { StudyInput } from './study-input.ts';

/** What the phases of a joint do when power is lost, or why that is not known. */
export function phasesOf(
  input: StudyInput,
  joint: DrivenJoint,
): { readonly drive: JointDrive; readonly short: PhaseShort } | { readonly openBecause: string } {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
  const lost = drive.lossOfPower;
  if (lost === undefined)
    return {
      openBecause: `the leg file does not say what the ${joint}’s phases do when power is lost: add \`lossOfPower\` under \`electronics\``,
    };
  if (lost.phases === 'open') return { drive, short: 'open' };
  if (lost.phases === 'shorted') return { drive, short: 0 };
  if (lost.resistance === undefined)
    return {
      openBecause: `the ${joint}’s phases are shorted through a resistance that the leg file does not give: add \`resistance\` under \`lossOfPower\``,
    };
  return { drive, short: lost.resistance };
}

/**
 * Load on an unpowered joint at one sample, N·m: what the demand asked of the drive, the other way round, without a parallel spring's
 * share. Positive bends the knee, or the ankle up. NaN without a moment.
 */
export function loadAt(drive: JointDrive, demand: StrideDemand, joint: DrivenJoint, index: number): number {
  const { parallelSpring: spring } = drive;
  const asked = demand.joints[joint];
  if (asked === undefined) return Number.NaN;
  const angle = asked.angle[index];
  const sprung =
    spring !== undefined && angle >= spring.engaged.from && angle <= spring.engaged.to
      ? spring.stiffness * (angle - spring.equilibrium)
      : 0;
  return -(asked.moment[index] + sprung);
}

/** The largest load that bends a joint in stance, N·m, and its sample; undefined where a stance sample has no moment. */
export function largestStanceLoad(
  drive: JointDrive,
  demand: Demand,
  joint: DrivenJoint,
): { readonly load: number; readonly index: number } | undefined {
  if (demand.kind !== 'stride') return undefined;
  let found = { load: Number.NEGATIVE_INFINITY, index: -1 };
  for (let i = 0; demand.percent[i] <= 100 * demand.stance; i++) {
    const load = loadAt(drive, demand, joint, i);
    if (Number.isNaN(load)) return undefined;
    if (load > found.load) found = { load, index: i };
  }
  return found;
}

/** Knee flexion at initial contact beyond the stride's own that a landing may have, rad: 10°. Our choice. */
export const LANDS_BENT: Rad = rad((10 * Math.PI) / 180);

/** How an unpowered knee comes down. */
export interface Landing {
  /** rad: flexion at initial contact less the stride's own. */
  readonly flexionLeft: Rad;
  /** s from the loss of power until the flexion is within LANDS_BENT of the stride's own at contact; +∞ where it is not before contact. */
  readonly time: number;
}

/**
 * The knee loses power at one sample of swing and is left to itself till contact, thigh, hip and ankle moving on as in the stride.
 * Undefined where the stride has no thigh, or no knee or ankle motion.
 */
export function landing(
  input: StudyInput,
  demand: StrideDemand,
  drive: JointDrive,
  short: PhaseShort,
  index: number,
): Landing | undefined {
  const knee = demand.joints.knee;
  if (demand.task.kind !== 'stride' || knee === undefined) return undefined;
  const { stride } = taskStride(demand.task, input.strides, input.wearer);
  const limb = carriedLimb(stride, input.leg.segments, demand.percent[index]);
  if (limb === undefined) return undefined;
  const own = knee.angle[knee.angle.length - 1];
  const swing = unpoweredSwing(drive, short, limb, {
    angle: knee.angle[index],
    velocity: knee.velocity[index],
    time: demand.strideTime * (1 - demand.percent[index] / 100),
    extended: own + LANDS_BENT,
  });
  return { flexionLeft: (swing.left - own) as Rad, time: swing.reached };
}

/** Samples of swing at which losing power is tried for a figure: toe-off, and where the knee is bent most. */
export function swingMoments(demand: StrideDemand): readonly number[] {
  const knee = demand.joints.knee;
  if (knee === undefined) return [];
  const off = demand.percent.findIndex((percent) => percent > 100 * demand.stance);
  let bent = off;
  for (let i = off; i < knee.angle.length; i++) if (knee.angle[i] > knee.angle[bent]) bent = i;
  return bent === off ? [off] : [off, bent];
}
