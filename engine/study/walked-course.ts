import type { ThighMotion } from '../control/sensed-thigh.ts';
import { sampleCurve } from '../gait/curve.ts';
import { STRIDE_SAMPLES } from '../gait/demand-result.ts';
import { hipPath } from '../gait/hip-path.ts';
import type { Stride, StrideCurve } from '../gait/stride.ts';

/** A stride that can be walked one after the other, and the ground it is walked on. */
export interface WalkedStride {
  readonly stride: Stride;
  readonly thigh: StrideCurve;
  readonly knee: StrideCurve;
  readonly ankle: StrideCurve;
  /** How the slope of the ground is taken up, rad, up ahead positive: by the whole leg, which leans, and by the ankle. */
  readonly lean: { readonly leg: number; readonly ankle: number };
}

/** Strides in a row, sample by sample. */
export interface WalkedCourse {
  readonly motion: ThighMotion;
  readonly knee: Float64Array;
  readonly ankle: Float64Array;
  /** Strides gone, and whether the foot is on the ground. */
  readonly place: Float64Array;
  readonly loaded: Uint8Array;
}

const LEVEL = { leg: 0, ankle: 0 } as const;

/** How far a curve may miss its own beginning, rad: a degree, which a source's rounding and smoothing leave. Our choice. */
const CLOSES = Math.PI / 180;

/**
 * A stride as something that can be walked again and again; open where it lacks an angle, or where an angle does not end as it
 * began: between two such strides the leg would jump, and a gyro hears no jump.
 */
export function walkedStride(stride: Stride): WalkedStride | { readonly openBecause: string } {
  const angles = { thigh: stride.thigh, knee: stride.joints.knee?.angle, ankle: stride.joints.ankle?.angle };
  for (const [name, curve] of Object.entries(angles)) {
    if (curve === undefined) return { openBecause: `its stride has no ${name} angle` };
    const { value } = sampleCurve(curve);
    const gap = value[value.length - 1] - value[0];
    if (!(Math.abs(gap) <= CLOSES))
      return {
        openBecause: `its ${name} ends ${((gap * 180) / Math.PI).toFixed(1)}° from where it began, so it cannot be walked stride after stride`,
      };
  }
  return { stride, thigh: angles.thigh!, knee: angles.knee!, ankle: angles.ankle!, lean: LEVEL };
}

/**
 * `strides` strides of `from`, and where `to` is given one stride that passes over from one to the other and `more` of `to`.
 *
 *     q(s) = (1 − w)·q_from(s) + w·q_to(s),   w = s³·(10 − 15s + 6s²) over the stride between,   T between: the mean
 *
 * Curves are read between their samples at each half per cent by cubic pieces with the curves' own slopes, so that rate and
 * acceleration belong to the angle. Hip acceleration by `hipPath`, on a slope as on the level.
 */
export function walkedCourse(
  from: WalkedStride,
  strides: number,
  dt: number,
  to: WalkedStride = from,
  more = 0,
): WalkedCourse {
  const changes = to !== from;
  const [before, after] = [from.stride.strideTime, to.stride.strideTime];
  const between = (before + after) / 2;
  const total = strides * before + (changes ? between + more * after : 0);
  const n = Math.floor(total / dt + 1e-9) + 1;
  const of = () => new Float64Array(n);
  const course = {
    motion: { angle: of(), rate: of(), acceleration: of(), hipX: of(), hipZ: of(), dt },
    knee: of(),
    ankle: of(),
    place: of(),
    loaded: new Uint8Array(n),
  };
  const [a, b] = [tablesOf(from), tablesOf(to)];
  const [p, q] = [new Float64Array(5), new Float64Array(5)];
  for (let k = 0; k < n; k++) {
    const t = k * dt;
    const gone = t - strides * before;
    const time = gone < 0 || !changes ? before : gone < between ? between : after;
    const x =
      gone < 0 || !changes
        ? t / before
        : gone < between
          ? strides + gone / time
          : strides + 1 + (gone - between) / time;
    const s = x - Math.floor(x);
    const stage = x < strides || !changes ? 0 : x < strides + 1 ? s : 1;
    const w = stage * stage * stage * (10 - 15 * stage + 6 * stage * stage);
    const w1 = 30 * stage * stage * (1 - stage) * (1 - stage);
    const w2 = 60 * stage * (1 - stage) * (1 - 2 * stage);
    angleAt(a.thigh, s, p);
    angleAt(b.thigh, s, q);
    const rise = q[0] - p[0] + to.lean.leg - from.lean.leg;
    course.motion.angle[k] = p[0] + from.lean.leg + w * rise;
    course.motion.rate[k] = (p[1] + w * (q[1] - p[1]) + w1 * rise) / time;
    course.motion.acceleration[k] =
      (p[2] + w * (q[2] - p[2]) + 2 * w1 * (q[1] - p[1]) + w2 * rise) / (time * time);
    course.motion.hipX[k] = (1 - w) * straight(a.hip.x, s) + w * straight(b.hip.x, s);
    course.motion.hipZ[k] = (1 - w) * straight(a.hip.z, s) + w * straight(b.hip.z, s);
    course.knee[k] = mixed(a.knee, b.knee, s, w, p, q);
    course.ankle[k] =
      mixed(a.ankle, b.ankle, s, w, p, q) + from.lean.ankle + w * (to.lean.ankle - from.lean.ankle);
    course.place[k] = x;
    course.loaded[k] = s < (1 - w) * from.stride.stance + w * to.stride.stance ? 1 : 0;
  }
  return course;
}

const STEPS = STRIDE_SAMPLES - 1;

const tablesOf = ({ stride, thigh, knee, ankle }: WalkedStride) => ({
  thigh: sampleCurve(thigh),
  knee: sampleCurve(knee),
  ankle: sampleCurve(ankle),
  hip: hipPath(stride),
});

/** Angle and its first two derivatives over the stride at share s, from value and slope at the samples on both sides. */
function angleAt(
  { value, slope }: { readonly value: Float64Array; readonly slope: Float64Array },
  s: number,
  into: Float64Array,
): void {
  const i = Math.min(Math.floor(s * STEPS), STEPS - 1);
  const u = s * STEPS - i;
  const h = 100 / STEPS;
  const y0 = value[i];
  const y1 = value[i + 1];
  const d0 = slope[i] * h;
  const d1 = slope[i + 1] * h;
  const c = 3 * (y1 - y0) - 2 * d0 - d1;
  const d = 2 * (y0 - y1) + d0 + d1;
  into[0] = y0 + u * (d0 + u * (c + u * d));
  into[1] = (d0 + u * (2 * c + 3 * d * u)) * STEPS;
  into[2] = (2 * c + 6 * d * u) * STEPS * STEPS;
}

function mixed(
  a: Parameters<typeof angleAt>[0],
  b: Parameters<typeof angleAt>[0],
  s: number,
  w: number,
  p: Float64Array,
  q: Float64Array,
): number {
  angleAt(a, s, p);
  if (a === b) return p[0];
  angleAt(b, s, q);
  return p[0] + w * (q[0] - p[0]);
}

function straight(y: Float64Array, s: number): number {
  const i = Math.min(Math.floor(s * STEPS), STEPS - 1);
  return y[i] + (s * STEPS - i) * (y[i + 1] - y[i]);
}
