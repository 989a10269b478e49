import { curveAt } from '../gait/curve.ts';
import { GRAVITY } from '../gait/inverse-dynamics.ts';
import type { DrivenJoint, Stride, StrideCurve } from '../gait/stride.ts';
import { hipCourse } from '../walk/hip-course.ts';
import type { OwnMotion } from '../walk/own-motion.ts';
import { type Sole, soleOf } from '../walk/sole-contact.ts';
import { type CourseOf, legForce } from '../walk/walk-course.ts';
import type { WalkSetup } from '../walk/walk-setup.ts';
import { hipMomentOnLeg } from './hip-on-leg.ts';
import { passiveStride } from './passive-stride.ts';
import type { Leg, StudyInput } from './study-input.ts';
import { joinedSegments, residualLimb } from './walk-body.ts';
import { raised } from './walk-change.ts';
import { drivesNothing } from './walk-needs.ts';
import { walkStride } from './walk-stride.ts';

/** A stride as this wearer walks it on this leg's segments, before anything is said of what moves the joints. */
export interface WearersStride {
  /** As it is walked: at this speed, in the time that this leg takes for it; and s by the regression over stature. */
  readonly walked: Stride;
  readonly regressionTime: number;
  readonly sole: Sole;
  readonly course: CourseOf;
  readonly own: { readonly [joint in DrivenJoint]: OwnMotion };
  readonly notes: readonly string[];
}

/** What a walk has of wearer and ground, whatever moves the joints. */
export type WalkingWearer = Pick<WalkSetup, 'leg' | 'sole' | 'thigh' | 'guide' | 'ground' | 'socket'> & {
  readonly course: CourseOf;
};

/** Id of the stride that is walked, beside the study's own. */
export const WALK = 'walk';
/** Guide of the hip's height: N/m and damping ratio on the whole mass. Our own proposal: weak enough that it carries little, strong enough to keep the gait. */
const GUIDE = { stiffness: 3000, dampingRatio: 0.7 };
/** Hip that leads the thigh, N·m/rad and N·m·s/rad per kilogram. Our own proposal, until wearers have been measured. */
const HIP = { stiffness: 8, damping: 0.5 };

/**
 * The stride at a speed on this leg; the reason where there is none.
 *
 * Angles, other leg and hip of the level-walking stride at that speed; its stride time is what these angles on this leg take at `speed`, so
 * that the foot does not slip.
 */
export function wearersStride(
  input: StudyInput,
  { speed }: { readonly speed: number },
): WearersStride | { readonly openBecause: string } {
  const found = walkStride(input, speed);
  if ('openBecause' in found) return found;
  const { leg, wearer } = input;
  const { segments } = leg;
  const passive = drivesNothing(leg) ? passiveStride(found.stride, speed, segments) : undefined;
  const stride = passive?.stride ?? found.stride;
  const [thigh, knee, ankle] = [stride.thigh!, stride.joints.knee!.angle, stride.joints.ankle!.angle];
  const sole = soleOfLeg(leg);
  const weight = weightOf(input);
  const { vertical, foreAft } = stride.groundForce!;
  const force = legForce({ vertical, weight });
  const hip = hipCourse({ thigh, knee, ankle }, stride.stance, segments, sole, {
    force,
    weight,
    speed,
  });
  const strideTime = hip.strideLength / speed;
  const walked = { ...stride, id: WALK, speed, strideTime };
  const residual = residualLimb(wearer.mass, wearer.residualLimbLength!, segments.thighLength);
  const swung = {
    thigh: joinedSegments(residual, segments.thighPart, segments.thighLength),
    shank: segments.shank,
    foot: segments.foot,
  };
  return {
    walked,
    regressionTime: stride.strideTime,
    sole,
    course: {
      hip,
      thigh,
      vertical,
      hipMoment: hipMomentOnLeg(
        walked,
        hip,
        swung,
        wearer.mass,
        passive && {
          joint: leg.passiveJoints!.ankle!,
          force: (place) => ({ up: force(place), forward: weight * curveAt(foreAft, 100 * place).value }),
        },
      ),
      speed,
      mass: wearer.mass,
      weight,
    },
    own: { knee: ownMotion(knee), ankle: ownMotion(ankle) },
    notes: [
      ...found.notes,
      ...(passive?.notes ?? []),
      `${speed} m/s: a stride of ${strideTime.toFixed(3)} s, in which these angles on this leg go that fast without slipping; by regression over stature ${stride.strideTime.toFixed(3)} s. Height of the hip by these angles off by up to ${(1e3 * hip.heightMisfit).toFixed(0)} mm from what the standing leg asks.`,
    ],
  };
}

/** Spring and damper of a wearer's hip that leads the thigh. */
export const hipThatLeads = (mass: number) => ({
  stiffness: HIP.stiffness * mass,
  damping: HIP.damping * mass,
});

/** What leads the hip's height weakly, for wearer and leg of `weight` N. */
export const weakGuide = (weight: number): WalkSetup['guide'] => ({
  stiffness: GUIDE.stiffness,
  damping: 2 * GUIDE.dampingRatio * Math.sqrt((GUIDE.stiffness * weight) / GRAVITY),
});

/** The sole of a leg file that lacks nothing of it. */
export const soleOfLeg = ({ segments, foot }: Leg): Sole =>
  soleOf(segments.sole, {
    heelStiffness: foot.heelStiffness!,
    toeStiffness: foot.toeStiffness!,
    damping: foot.damping!,
  });

/** Of wearer and leg, N. */
function weightOf({ leg: { segments }, wearer }: StudyInput): number {
  const device = segments.thighPart.mass + segments.shank.mass + segments.foot.mass;
  return (wearer.mass + device) * GRAVITY;
}

/** The wearer's body and residual limb with the leg below it, and what of it hangs in the socket. Rotors turn behind their gears and are not of it. */
export function wearersLeg(
  input: StudyInput,
): Required<Pick<WalkSetup, 'leg' | 'socket'>> & { readonly weight: number } {
  const {
    leg: { segments, joints },
    wearer,
  } = input;
  const residual = residualLimb(wearer.mass, wearer.residualLimbLength!, segments.thighLength);
  return {
    leg: {
      gravity: GRAVITY,
      body: wearer.mass - residual.mass,
      thigh: joinedSegments(residual, segments.thighPart, segments.thighLength),
      shank: segments.shank,
      foot: segments.foot,
      kneeOutputInertia: joints.knee?.transmission.outputInertia ?? 0,
      ankleOutputInertia: joints.ankle?.transmission.outputInertia ?? 0,
    },
    socket: {
      gravity: GRAVITY,
      cut: { x: 0, z: -wearer.residualLimbLength! },
      thigh: { ...segments.thighPart, length: segments.thighLength },
      shank: segments.shank,
      foot: segments.foot,
    },
    weight: weightOf(input),
  };
}

/** A curve as the motion that a joint is led by. */
export const ownMotion =
  (curve: StrideCurve): OwnMotion =>
  (place) => {
    const at = curveAt(curve, 100 * place);
    return { angle: at.value, rate: 100 * at.slope };
  };

/**
 * The wearer who walks so, and the ground under the leg. `socketFlexion`: rad by which the device hangs further back on the same limb.
 */
export function walkingWearer(
  input: StudyInput,
  { sole, course }: WearersStride,
  choice: { readonly ground?: 'treadmill' | 'overground'; readonly thigh?: 'prescribed' | 'led' },
  socketFlexion: number,
): WalkingWearer {
  const { leg, socket } = wearersLeg(input);
  const { mass } = input.wearer;
  return {
    leg,
    socket,
    sole,
    course: socketFlexion === 0 ? course : { ...course, thigh: raised(course.thigh, -socketFlexion) },
    thigh: choice.thigh === 'led' ? hipThatLeads(mass) : 'prescribed',
    guide: weakGuide(course.weight),
    ground: choice.ground ?? 'treadmill',
  };
}
