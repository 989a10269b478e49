import { cubicSpline } from '../numeric/cubic-spline.ts';
import { Fault } from '../quantity/fault.ts';
import type { SwingTorque } from './swing-torque.ts';
import { requireThighRange } from './thigh-play.ts';
import { type Trajectory, trajectoryAt } from './trajectory.ts';

/** Width of the play as a share of the thigh's way: some 3–4° in level walking. Our choice. */
const PLAY = 0.12;
/**
 * Share of the thigh's way from toe-off to its peak at which the phase that the thigh drives is full. At the peak itself the thigh
 * stands while the knee still moves, so a phase that reached there would be infinitely steep, and a step a little short would
 * never be finished. Our choice.
 */
const FULL_AT = 0.9;
/** Fastest the stride phase may go, 1/s: three strides a second. After a hold it catches up no faster. Our choice. */
const FASTEST = 3;
/** Half width of the corner with which the finish arrives at 1. Our choice: a fiftieth of a stride. */
const CORNER = 0.02;
/** Share of the swing's phase over which the pose at toe-off is blended into the trajectory. Our choice. */
const BLEND_SHARE = 0.25;
/** Steps of the table from thigh to stride phase. */
const STEPS = 32;

/** What swing is told before the leg walks; the tick reads nothing else. Angles rad, engine signs; phase as a share of the stride. */
export interface SwingMap {
  /** Stride phase where the foot leaves the ground. */
  readonly toeOff: number;
  /** Thigh of the reference at toe-off, and where the phase that it drives is full. */
  readonly referenceOn: number;
  readonly full: number;
  /** Stride phase there: what lies after is finished by time, or not at all. */
  readonly fullPhase: number;
  /** Thigh's peak in the reference, and stride phase there. */
  readonly peak: number;
  readonly peakPhase: number;
  readonly play: number;
  /** Stride phase at even steps of the play's phase, and its second derivative there: a natural-looking table, C². */
  readonly phase: Float64Array;
  readonly bend: Float64Array;
  readonly fastest: number;
  /** Rate of the finish, 1/s: 1 ÷ stride time. 0: off. */
  readonly finishRate: number;
  readonly corner: number;
  /** Phase over which the pose at toe-off is blended in. */
  readonly blend: number;
  readonly knee: Trajectory;
  readonly ankle: Trajectory;
  /** What the leg itself asks for on its way; left out: nothing is asked for ahead. */
  readonly torque?: SwingTorque;
}

/** The stride that swing shall follow, and whether the swing finishes by itself. */
export interface SwingReference {
  readonly thigh: Trajectory;
  readonly knee: Trajectory;
  readonly ankle: Trajectory;
  /** Share of the stride in stance. */
  readonly stance: number;
  /** s */
  readonly strideTime: number;
  /** Complete the phase from where the thigh no longer leads it, at the pace of the stride. Off on stairs and over obstacles. */
  readonly finish: boolean;
  /** Share of the thigh's way at which the phase is full; left out: nine tenths. */
  readonly full?: number;
  /** Named in faults. */
  readonly path: string;
}

/**
 * Where in the stride the reference leg is when its thigh has gone the share u of its way.
 *
 *     u = (θ − θ_on)/(θ_full − θ_on),   θ_full = θ_on + f·(θ_peak − θ_on),   s = S(u) with θ_ref(S(u)) = θ_on + u·(θ_full − θ_on),  f: `full`
 *
 * S is the inverse of the reference's own thigh curve from toe-off on, tabled and joined by a cubic spline; it is what makes the
 * trajectories, which are fitted over the stride, fit the phase that the controller uses.
 *
 * Faults: a thigh that moves less than 15° from toe-off to its peak, or that turns back on the way.
 */
export function swingMap({
  thigh,
  knee,
  ankle,
  stance,
  strideTime,
  finish,
  full: fullAt = FULL_AT,
  path,
}: SwingReference): SwingMap {
  const out = new Float64Array(3);
  const at = (s: number): number => {
    trajectoryAt(thigh, s, out, 0);
    return out[0];
  };
  const on = at(stance);
  let [peak, peakPhase] = [on, stance];
  for (let k = 0; k <= 1000; k++) {
    const s = stance + ((1 - stance) * k) / 1000;
    const there = at(s);
    if (there > peak) [peak, peakPhase] = [there, s];
  }
  requireThighRange(on, peak, path);
  const full = on + fullAt * (peak - on);
  let fullPhase = stance;
  let before = on;
  for (let k = 1; k <= 1000 && before < full; k++) {
    fullPhase = stance + ((peakPhase - stance) * k) / 1000;
    const there = at(fullPhase);
    if (there <= before) {
      throw new Fault({
        code: 'control.thigh-turns-back',
        what: `At ${(100 * fullPhase).toFixed(0)} % of the stride the thigh moves back on its way from toe-off to its peak, so one angle would mean two phases`,
        mend: 'Check where toe-off is, or take a stride in which the thigh goes forward throughout',
        place: { path },
      });
    }
    before = there;
  }
  const knots = Float64Array.from({ length: STEPS + 1 }, (_, j) => j / STEPS);
  const phase = knots.map((u) => phaseAt(at, on + u * (full - on), stance, fullPhase));
  return {
    toeOff: stance,
    referenceOn: on,
    full,
    fullPhase: phase[STEPS],
    peak,
    peakPhase,
    play: PLAY,
    phase,
    bend: cubicSpline(knots, phase, 'not-a-knot').m,
    fastest: FASTEST,
    finishRate: finish ? 1 / strideTime : 0,
    corner: CORNER,
    blend: BLEND_SHARE * (1 - stance),
    knee,
    ankle,
  };
}

/** The same map for a thigh that is turned by `angle` rad throughout, as a whole leg that leans with its ground is. */
export const turnedMap = (map: SwingMap, angle: number): SwingMap => ({
  ...map,
  referenceOn: map.referenceOn + angle,
  full: map.full + angle,
  peak: map.peak + angle,
});

/** Where a rising curve takes a value, by halving. */
function phaseAt(at: (s: number) => number, value: number, low: number, high: number): number {
  let [a, b] = [low, high];
  for (let k = 0; k < 50; k++) {
    const middle = (a + b) / 2;
    if (at(middle) < value) a = middle;
    else b = middle;
  }
  return (a + b) / 2;
}
