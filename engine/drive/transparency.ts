import type { DrivenJoint, LegSegments } from '../gait/stride.ts';
import { breakawayTorque } from './back-drive.ts';
import { legAboutKnee } from './free-swing.ts';
import type { JointDrive } from './leg-drive.ts';
import { drivenTorque } from './peaks-load.ts';
import { reflectedInertia } from './reflected-inertia.ts';
import { type TorqueReach, torqueReach } from './torque-bandwidth.ts';

export type TransparencyClass = 'transparent' | 'fair' | 'opaque';

/**
 * Largest shares and least bandwidth of each class, our own thresholds, no standard's. Breakaway: between and beyond the two published
 * shares below. Inertia: 1 is a limb that feels twice as heavy to turn, 4 one of five times. Bandwidth, Hz, at half the peak torque:
 * walking is commonly low-passed at 6 Hz before moments are made of it (COMMON PRACTICE), and twice that leaves room.
 */
export const TRANSPARENCY_LIMITS = {
  transparent: { backdriveShare: 0.03, inertiaShare: 1, bandwidth: 12 },
  fair: { backdriveShare: 0.1, inertiaShare: 4, bandwidth: 6 },
} as const;

/** Static back-drive torque ÷ torque as two papers print them: facts of others' joints, beside ours and never a limit. */
export const PUBLISHED_BACK_DRIVE: readonly {
  readonly backDrive: number;
  readonly torque: number;
  readonly source: string;
}[] = [
  {
    backDrive: 0.37,
    torque: 6,
    source:
      'Pérez-Díaz et al., Design and Experimental Characterisation of a Novel Quasi-Direct Drive Actuator for Highly Dynamic Robotic Applications (2024), abstract; the torque is the amplitude of its bandwidth test',
  },
  {
    backDrive: 0.4,
    torque: 17.5,
    source:
      'Yu et al., Quasi-Direct Drive Actuation for a Lightweight Hip Exoskeleton with High Backdrivability and High Bandwidth, arXiv 2004.00467 (2020), abstract; nominal torque',
  },
];

/** What a rig can measure of how little the joint is in the way. */
export interface TransparencyShares {
  /** Breakaway ÷ peak joint torque. */
  readonly backdriveShare: number;
  /** Reflected inertia ÷ inertia of what hangs from the joint, about it. */
  readonly inertiaShare: number;
}

export interface Transparency extends TransparencyShares {
  /** Torque to and fro at half the peak, output locked, and up to which frequency. */
  readonly torque: TorqueReach;
  /** The worst of the three; undefined where one is not known. */
  readonly class?: TransparencyClass;
}

/** Inertia about the joint of what hangs from it, kg·m², rotor and gears left out: shank and foot, or the foot. */
export function limbInertia(joint: DrivenJoint, segments: LegSegments): number {
  if (joint === 'knee') return legAboutKnee(segments).inertia;
  const { inertia, mass, centre } = segments.foot;
  return inertia + mass * (centre.x ** 2 + centre.z ** 2);
}

/** The two shares of `transparency`. */
export function transparencyShares(
  drive: JointDrive,
  joint: DrivenJoint,
  segments: LegSegments,
): TransparencyShares {
  const { motor, transmission: t } = drive;
  return {
    backdriveShare: breakawayTorque(motor, t) / drivenTorque(drive),
    inertiaShare: reflectedInertia(motor, t) / limbInertia(joint, segments),
  };
}

/**
 * How little the joint is in the way, by what can be measured and not by its gear ratio:
 *
 *     τ_bd/τ_peak,   J_ref/J_limb,   f at ±τ_peak/2 with the output locked
 */
export function transparency(
  drive: JointDrive,
  joint: DrivenJoint,
  segments: LegSegments,
  busVoltage: number,
): Transparency {
  const shares = transparencyShares(drive, joint, segments);
  const torque = torqueReach(drive, busVoltage, drivenTorque(drive) / 2);
  const within = (limit: (typeof TRANSPARENCY_LIMITS)[keyof typeof TRANSPARENCY_LIMITS]): boolean =>
    shares.backdriveShare <= limit.backdriveShare &&
    shares.inertiaShare <= limit.inertiaShare &&
    torque.frequency >= limit.bandwidth;
  const known = shares.backdriveShare > 0 && shares.inertiaShare > 0 && !Number.isNaN(torque.frequency);
  return {
    ...shares,
    torque,
    ...(known && {
      class: within(TRANSPARENCY_LIMITS.transparent)
        ? 'transparent'
        : within(TRANSPARENCY_LIMITS.fair)
          ? 'fair'
          : 'opaque',
    }),
  };
}
