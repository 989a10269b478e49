import { curveAt } from '../gait/curve.ts';
import type { LegSegments, Stride, StrideCurve } from '../gait/stride.ts';
import { leastSquares } from '../numeric/least-squares.ts';
import { standingHip, type WalkAngles } from './hip-course.ts';
import type { Sole } from './sole-contact.ts';
import type { TreadsShape } from './terrain.ts';
import { COURSE, COURSE_WIDTH, type WalkCourse } from './walk-course.ts';

/** Degree of what is fitted to the planted foot. Our choice: more follows the edges of contact. */
const DEGREE = 6;
/** Share of stance at which the other leg's angles say how high the hip is. Our choice: it stands alone then, and has not begun to roll off. */
const MIDDLE = 0.45;

/** How the hip goes over one stair, from contact to contact of one foot; heights over the tread on which that foot first stands. */
export interface StairHip {
  /** c_k of z(s) = Σ c_k·s^k and of dx/ds while the foot stands, up to `planted`. */
  readonly height: Float64Array;
  readonly pace: Float64Array;
  readonly planted: number;
  /** s where each begins, z, dz/ds, x, dx/ds there: the planted foot ends, the other one stands alone, the foot lands. */
  readonly knots: readonly Float64Array[];
  /** Largest misfit of the fits, m and m a stride. */
  readonly heightMisfit: number;
  readonly paceMisfit: number;
  /** m ahead of where the hip is at first: the ankle of the planted foot, on average. */
  readonly ankle: number;
}

/** What a stair is told by. */
export interface StairWay {
  /** m to the next tread, < 0 down; m that the hip goes in one stride. */
  readonly riser: number;
  readonly length: number;
  /** N up on the planted foot over the stride. */
  readonly force: (place: number) => number;
}

/**
 * Hip over a stair. While the foot stands, by its leg's angles as in `standingHip`, fitted by a polynomial, h. Half a stride later by those of
 * the other leg, taken as alike, one riser on, in the middle of its stance; and at the end by the last pose, which stands on the next tread:
 *
 *     z(s) = h(s),   z(½ + m) = H + h(m),   z(1) = H + h(θ(1)),   x(1) = L;   dz/ds = 0 and dx/ds = L there
 *
 * joined by polynomials of fifth degree without curvature at their ends. L: as published.
 */
export function stairHip(
  angles: WalkAngles,
  stance: Stride['stance'],
  segments: LegSegments,
  sole: Sole,
  { riser, length, force }: StairWay,
): StairHip {
  const { place, height, pace } = standingHip(angles, stance, segments, sole, force);
  const rows = place.map((s) => Array.from({ length: DEGREE + 1 }, (_, k) => s ** k));
  const z = leastSquares(rows, height);
  const x = leastSquares(rows, pace);
  const misfit = (fit: Float64Array, of: readonly number[]): number =>
    place.reduce((worst, s, i) => Math.max(worst, Math.abs(at(fit, s)[0] - of[i])), 0);
  const planted = place[place.length - 1];
  const way = (s: number): number => x.reduce((sum, c, k) => sum + (c * s ** (k + 1)) / (k + 1), 0);
  const ankle =
    place.reduce((sum, s) => sum + way(s) + reachOf(angles, segments, sole, s).ankle, 0) / place.length;
  const ends = [planted, at(z, planted), way(planted), at(x, planted)[0]] as const;
  const alone = 0.5 + MIDDLE * stance;
  const [over, falls] = at(z, MIDDLE * stance);
  const share = (alone - planted) / (1 - planted);
  const led = joined([ends[2], ends[3]], [length, length], 1 - planted, share).slice(0, 2);
  return {
    height: z,
    pace: x,
    planted,
    knots: [
      Float64Array.of(planted, ...ends[1].slice(0, 2), ends[2], ends[3]),
      Float64Array.of(alone, riser + over, falls, ...led),
      Float64Array.of(1, riser + reachOf(angles, segments, sole, 1).height, 0, length, length),
    ],
    heightMisfit: misfit(z, height),
    paceMisfit: misfit(x, pace),
    ankle,
  };
}

/** Ankle ahead of the hip, and hip above the lowest point of the sole, m. */
function reachOf(
  angles: WalkAngles,
  { thighLength, shank }: LegSegments,
  sole: Sole,
  s: number,
): { readonly ankle: number; readonly height: number } {
  const [thigh, knee, ankle] = [angles.thigh, angles.knee, angles.ankle].map(
    (curve) => curveAt(curve, 100 * s).value,
  );
  const foot = thigh - knee + ankle;
  const lowest = sole.x.reduce(
    (least, x, i) => Math.min(least, x * Math.sin(foot) + sole.z[i] * Math.cos(foot)),
    Number.POSITIVE_INFINITY,
  );
  return {
    ankle: thighLength * Math.sin(thigh) + shank.length * Math.sin(thigh - knee),
    height: thighLength * Math.cos(thigh) + shank.length * Math.cos(thigh - knee) - lowest,
  };
}

/** Σ c_k·s^k with its first and second derivative. */
function at(c: Float64Array, s: number): [value: number, slope: number, curvature: number] {
  let [value, slope, curvature] = [0, 0, 0];
  for (let k = c.length - 1; k >= 0; k--) {
    curvature = curvature * s + 2 * slope;
    slope = slope * s + value;
    value = value * s + c[k];
  }
  return [value, slope, curvature];
}

/** Value, slope and curvature at share `u` of a `span`, of the polynomial of fifth degree with value and slope, and no curvature, at both ends. */
function joined(
  [p, v]: readonly [number, number],
  [end, slope]: readonly [number, number],
  span: number,
  u: number,
): [value: number, slope: number, curvature: number] {
  const [gone, rest] = [end - p - v * span, (slope - v) * span];
  const c = Float64Array.of(p, v * span, 0, 10 * gone - 4 * rest, -15 * gone + 7 * rest, 6 * gone - 3 * rest);
  const [y, ys, yss] = at(c, u);
  return [y, ys / span, yss / span / span];
}

/** z, dz/ds, d²z/ds², x, dx/ds, d²x/ds² at `s` ≤ 1 into `out`. */
export function stairHipAt({ height, pace, planted, knots }: StairHip, s: number, out: Float64Array): void {
  if (s <= planted) {
    out.set(at(height, s), 0);
    const [own, bend] = at(pace, s);
    out[3] = pace.reduce((sum, c, k) => sum + (c * s ** (k + 1)) / (k + 1), 0);
    out[4] = own;
    out[5] = bend;
    return;
  }
  const k = s <= knots[1][0] ? 0 : 1;
  const [a, b] = [knots[k], knots[k + 1]];
  const span = b[0] - a[0];
  const u = (s - a[0]) / span;
  out.set(joined([a[1], a[2]], [b[1], b[2]], span, u), 0);
  out.set(joined([a[3], a[4]], [b[3], b[4]], span, u), 3);
}

/** The tread under the planted foot, which stands in its middle, and the risers before and behind it, on the ruler that begins under the hip. */
export function treadsUnder(
  { ankle }: StairHip,
  sole: Sole,
  { riser, tread, over }: { readonly riser: number; readonly tread: number; readonly over: number },
): TreadsShape {
  const middle = ankle + (Math.min(...sole.x) + Math.max(...sole.x)) / 2;
  return {
    kind: 'treads',
    from: -riser,
    over,
    risers: [
      { at: middle - tread / 2, height: riser },
      { at: middle + tread / 2, height: riser },
    ],
  };
}

/** What a stair's course is made of, as in `CourseOf`. */
export interface StairOf {
  readonly hip: StairHip;
  readonly thigh: StrideCurve;
  readonly hipMoment: StrideCurve;
  /** N up on one leg over the stride; kg of the wearer. */
  readonly force: (place: number) => number;
  readonly mass: number;
  readonly speed: number;
  readonly strideTime: number;
}

/** Share of the stride over which it comes to rest at its end, and for which it rests. Our choice. */
const SLOWS = 0.1;
const RESTS = 0.05;
/** s of rest beyond that, since a walk ends with a whole period of its controller. */
const SPARE = 0.05;

/**
 * One stride over a stair, from contact to contact, at its own pace, which comes to rest at its end:
 *
 *     ṗ = r/T,   F_other = F(p + ½)
 *
 * The other leg's force is the published one of this leg, half a stride away, as on the level, without a factor for a leg that pushes off
 * weakly. Beyond p = 1 the curves say nothing.
 */
export function stairCourse(of: StairOf, step: number): WalkCourse {
  const { hip, thigh, hipMoment, force, mass, speed } = of;
  const once = Math.round(of.strideTime / step);
  const strideTime = once * step;
  const perStride = Math.ceil((1 + SLOWS / 2 + RESTS) * once);
  const steps = perStride + Math.ceil(SPARE / step);
  const table = new Float64Array(steps * COURSE_WIDTH);
  const out = new Float64Array(6);
  const end = 1 - SLOWS / 2;
  for (let i = 0; i < steps; i++) {
    const t = i / once;
    // the pace falls evenly to nothing, so that p arrives at 1
    const u = Math.min(1, Math.max(0, (t - end) / SLOWS));
    const p = Math.min(1, t < end ? t : end + SLOWS * (u - (u * u) / 2));
    const [rate, bend] = [(1 - u) / strideTime, u > 0 && u < 1 ? -1 / SLOWS / strideTime / strideTime : 0];
    const square = rate * rate;
    const at = i * COURSE_WIDTH;
    stairHipAt(hip, p, out);
    table[at + COURSE.height] = out[0];
    table[at + COURSE.heightRate] = out[1] * rate;
    table[at + COURSE.x] = out[3];
    table[at + COURSE.xRate] = out[4] * rate;
    table[at + COURSE.xAcceleration] = out[5] * square + out[4] * bend;
    const led = curveAt(thigh, 100 * p);
    table[at + COURSE.thigh] = led.value;
    table[at + COURSE.thighRate] = 100 * led.slope * rate;
    table[at + COURSE.thighAcceleration] = 1e4 * led.curvature * square + 100 * led.slope * bend;
    table[at + COURSE.other] = force((p + 0.5) % 1);
    table[at + COURSE.hipMoment] = mass * curveAt(hipMoment, 100 * p).value;
    table[at + COURSE.place] = p;
  }
  return { speed, strideTime, perStride, steps, first: 0, whole: true, stretch: true, step, table };
}
