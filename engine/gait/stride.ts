/**
 * One period of a curve over the stride. `percent` runs 0–100 from initial contact to the next of the same foot.
 *
 * Series:  y(p) = mean + drift·p/100 + Σ_k cos_k·cos(2πk·p/100) + sin_k·sin(2πk·p/100),  0 ≤ p ≤ 100
 *
 * `drift` is non-zero only where the source's curve does not close; such a curve jumps at initial contact, as its
 * data do. Table: values at `percent` (rising, first 0, last 100), joined by a cubic spline, periodic if it says so.
 */
export type StrideCurve =
  | {
      readonly form: 'series';
      readonly mean: number;
      readonly drift: number;
      readonly cos: readonly number[];
      readonly sin: readonly number[];
    }
  | {
      readonly form: 'table';
      readonly percent: readonly number[];
      readonly value: readonly number[];
      readonly periodic: boolean;
    };

/** The three sagittal joints of the leg. */
export type JointName = 'hip' | 'knee' | 'ankle';

/** The two joints that Striderule's legs drive. */
export type DrivenJoint = 'knee' | 'ankle';

/** One joint over the stride, engine signs: flexion and dorsiflexion positive, moment along the angle it increases. */
export interface JointCurves {
  /** Joint angle, rad. */
  readonly angle: StrideCurve;
  /** Internal joint moment per body mass, N·m/kg. Left out where the source has none. */
  readonly moment?: StrideCurve;
  /** Joint power per body mass as the source prints it, W/kg: a witness for moment × velocity, never an input. */
  readonly power?: StrideCurve;
  /** Between-subject standard deviation of the moment where its magnitude peaks, N·m/kg. */
  readonly momentPeakSd?: number;
}

/** Where numbers come from, and what may be done with them. */
export interface Origin {
  readonly citation: string;
  readonly doi?: string;
  readonly licence: string;
  /** seen: read in the source. derived: computed from what was seen. recorded: the laboratory's own. */
  readonly status: 'seen' | 'derived' | 'recorded' | 'demo';
}

export type Activity =
  | 'level walking'
  | 'ramp ascent'
  | 'ramp descent'
  | 'stair ascent'
  | 'stair descent'
  | 'running'
  | 'recorded';

/** One stride, published or recorded, per kilogram of body mass, in engine signs and SI units. */
export interface Stride {
  readonly id: string;
  readonly title: string;
  readonly activity: Activity;
  /** Mean forward speed, m/s, where known. */
  readonly speed?: number;
  /** Slope of the ground, rad, up ahead positive, where a recording says it; left out of published strides, level walking at 0. */
  readonly incline?: number;
  /** Time from initial contact to the next of the same foot, s. */
  readonly strideTime: number;
  /** Share of the stride in stance, 0–1. */
  readonly stance: number;
  readonly joints: { readonly [joint in JointName]?: JointCurves };
  /** Thigh segment angle against the vertical, knee forward of hip positive, rad. Needed for the pose and in swing. */
  readonly thigh?: StrideCurve;
  /** Ground force in body weights: up, and forward (propulsive) positive. */
  readonly groundForce?: { readonly vertical: StrideCurve; readonly foreAft: StrideCurve };
  readonly people: {
    readonly count: number;
    readonly height?: number;
    readonly mass?: number;
    readonly who: string;
  };
  readonly origin: Origin;
  readonly caveats: readonly string[];
}

/** Body of the wearer without the device. */
export interface Wearer {
  readonly code: string;
  /** Body mass without the device, kg. */
  readonly mass: number;
  /** Stature, m. */
  readonly height: number;
  readonly side: 'left' | 'right';
  /** Hip joint to the end of the residual limb, m, where known. */
  readonly residualLimbLength?: number;
}

/** A rigid segment in its own frame: origin at the proximal joint, x forward, z up, hanging straight down. */
export interface Segment {
  /** Proximal to distal joint, m. */
  readonly length: number;
  /** kg. */
  readonly mass: number;
  /** Centre of mass across (x, forward) and along (z, up; negative below the joint), m. */
  readonly centre: { readonly x: number; readonly z: number };
  /** About the centre of mass, without rotors, kg·m². */
  readonly inertia: number;
}

/** The device's own segments below the socket. `foot.length` is not used. */
export interface LegSegments {
  /** Hip to knee axis, m: residual limb, socket and knee housing together as the wearer stands. */
  readonly thighLength: number;
  /** Socket and knee housing above the knee axis; centre measured from the hip. */
  readonly thighPart: Segment;
  readonly shank: Segment;
  readonly foot: Segment;
  /** Sole points of the rocker in the foot frame, m. */
  readonly sole: readonly { readonly x: number; readonly z: number }[];
}
