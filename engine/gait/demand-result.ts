import type { JointName } from './stride.ts';
import type { Range, Task } from './task.ts';

/** Number of samples over 0–100 % of the stride, both ends included: one each half per cent. */
export const STRIDE_SAMPLES = 201;

/** What one joint is asked for over one stride. All arrays have STRIDE_SAMPLES entries, engine signs, SI units. */
export interface JointDemand {
  /** rad, rad/s, rad/s² */
  readonly angle: Float64Array;
  readonly velocity: Float64Array;
  readonly acceleration: Float64Array;
  /** What this leg's joint must deliver, N·m: scaled human moment in stance, own segments' dynamics in swing. NaN where the stride has no moment. */
  readonly moment: Float64Array;
  /** The scaled human moment throughout, N·m: what was asked before the device's own mass was known. */
  readonly humanMoment: Float64Array;
  /** Inverse dynamics of the device's own segments as if nothing touched the ground, N·m. NaN at the hip, which is the wearer's, and where swing is unknown. */
  readonly deviceMoment: Float64Array;
  /** moment × velocity, W; generation positive. */
  readonly power: Float64Array;
  readonly peak: {
    readonly moment: number;
    readonly momentPercent: number;
    readonly speed: number;
    readonly speedPercent: number;
    readonly generation: number;
    readonly absorption: number;
  };
  /** J per stride. */
  readonly work: { readonly positive: number; readonly negative: number };
  /** Factor by which the published moment was scaled, beside body mass, and why. */
  readonly momentScale: number;
  /** Part of it that covers people above the mean person, 1 + k·SD_peak/|M_peak|. */
  readonly momentCover: number;
  /** SD_peak/|M_peak| between people as published with the curve; NaN where it was not. */
  readonly momentScatter: number;
  readonly scaleNotes: readonly string[];
}

/** Demand of a task that has a curve. */
export interface StrideDemand {
  readonly kind: 'stride';
  readonly task: Task;
  /** m/s; NaN where the source gives none. */
  readonly speed: number;
  /** s */
  readonly strideTime: number;
  /** Share of the stride in stance. */
  readonly stance: number;
  /** 0, 0.5 … 100. */
  readonly percent: Float64Array;
  /** Thigh segment angle, rad, for the pose; NaN where unknown. */
  readonly thigh: Float64Array;
  /** Ground force in N where published; NaN elsewhere. */
  readonly groundForce: { readonly vertical: Float64Array; readonly foreAft: Float64Array };
  /** Weight of the stance moment at each sample: 1 in stance, 0 in swing, blended between. */
  readonly stanceWeight: Float64Array;
  readonly joints: { readonly [joint in JointName]?: JointDemand };
  /** What the reader must know: interpolation error, assumed hip path, caveats of the source. */
  readonly notes: readonly string[];
  /** Change per 100 g added at the segment's centre of mass, in swing. */
  readonly massBudget: readonly MassCost[];
}

/** What 100 g costs in swing at unchanged motion. */
export interface MassCost {
  readonly where: 'shank' | 'foot';
  /** kg added. */
  readonly added: number;
  /** Added peak |moment| in swing by the added mass alone, N·m, at hip and knee. */
  readonly hipMoment: number;
  readonly kneeMoment: number;
  /** Added positive work per stride at the hip and at the knee, J: change of the whole leg's swing work. */
  readonly hipWork: number;
  readonly kneeWork: number;
}

export interface PeaksDemand {
  readonly kind: 'peaks';
  readonly task: Task;
  /** N·m and rad/s. Absent where not published. */
  readonly joints: { readonly [joint in JointName]?: { readonly moment?: Range; readonly speed?: Range } };
  readonly notes: readonly string[];
}

export interface StandingDemand {
  readonly kind: 'standing';
  readonly task: Task;
  /** N·m held at the ankle, and at the knee with the leg aligned. */
  readonly ankleMoment: number;
  /** Least ankle stiffness that holds the wearer upright on this leg's share, N·m/rad. */
  readonly ankleStiffness: number;
  /** s */
  readonly duration: number;
  readonly notes: readonly string[];
}

export type Demand = StrideDemand | PeaksDemand | StandingDemand;
