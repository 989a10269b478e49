import { Fault } from '../quantity/fault.ts';
import { sampleCurve } from './curve.ts';
import type { JointName, Stride, StrideCurve, Wearer } from './stride.ts';
import { type Surface, strideTimeAt } from './temporal-spatial.ts';

/** How wrong interpolating in speed was where the truth is known: RMS of the error as a share of the curve's range. */
export interface LeftOut {
  readonly stride: string;
  readonly joint: JointName;
  readonly quantity: 'angle' | 'moment';
  readonly rmsShareOfRange: number;
}

export interface StrideAtSpeed {
  readonly stride: Stride;
  readonly notes: readonly string[];
  readonly leaveOneOut: readonly LeftOut[];
}

const JOINTS = ['hip', 'knee', 'ankle'] as const;

/** (1 − w)·a + w·b, term by term. Both must be series of one length. */
function mixed(a: StrideCurve, b: StrideCurve, w: number): StrideCurve {
  if (a.form !== 'series' || b.form !== 'series' || a.cos.length !== b.cos.length) {
    throw new Fault({
      code: 'gait.cannot-interpolate',
      what: 'Curves between which a speed is interpolated must be series with as many harmonics',
      mend: 'Give this task a stride of its own',
    });
  }
  const mix = (x: number, y: number) => x + w * (y - x);
  return {
    form: 'series',
    mean: mix(a.mean, b.mean),
    drift: mix(a.drift, b.drift),
    cos: a.cos.map((x, k) => mix(x, b.cos[k])),
    sin: a.sin.map((x, k) => mix(x, b.sin[k])),
  };
}

/** How far `speed` lies from a’s towards b’s. */
const shareAt = (a: Stride, b: Stride, speed: number): number =>
  (speed - (a.speed as number)) / ((b.speed as number) - (a.speed as number));

function mixedStride(a: Stride, b: Stride, speed: number): Stride {
  const w = shareAt(a, b, speed);
  const joints = Object.fromEntries(
    JOINTS.map((joint) => {
      const [p, q] = [a.joints[joint], b.joints[joint]];
      if (!p?.moment || !q?.moment) throw new Error('level-walking classes carry all moments');
      const sd = p.momentPeakSd !== undefined && q.momentPeakSd !== undefined;
      return [
        joint,
        {
          angle: mixed(p.angle, q.angle, w),
          moment: mixed(p.moment, q.moment, w),
          ...(sd && { momentPeakSd: p.momentPeakSd + w * (q.momentPeakSd - p.momentPeakSd) }),
        },
      ];
    }),
  );
  return {
    ...a,
    id: `level-walking-${speed}`,
    title: `Level walking, ${speed} m/s`,
    speed,
    strideTime: a.strideTime + w * (b.strideTime - a.strideTime),
    stance: a.stance + w * (b.stance - a.stance),
    joints,
    ...(a.thigh && b.thigh && { thigh: mixed(a.thigh, b.thigh, w) }),
    ...(a.groundForce &&
      b.groundForce && {
        groundForce: {
          vertical: mixed(a.groundForce.vertical, b.groundForce.vertical, w),
          foreAft: mixed(a.groundForce.foreAft, b.groundForce.foreAft, w),
        },
      }),
  };
}

/** `truth` against what `mixed` makes of the strides beside it, sample by sample: a series is linear in its terms, so that nothing is summed anew. */
function leftOut(truth: Stride, a: Stride, b: Stride): LeftOut[] {
  const w = shareAt(a, b, truth.speed as number);
  return JOINTS.flatMap((joint) =>
    (['angle', 'moment'] as const).map((quantity) => {
      const sampled = (of: Stride) => sampleCurve(of.joints[joint]?.[quantity] as StrideCurve).value;
      const [x, p, q] = [sampled(truth), sampled(a), sampled(b)];
      let square = 0;
      for (let i = 0; i < x.length; i++) square += (x[i] - p[i] - w * (q[i] - p[i])) ** 2;
      const range = Math.max(...x) - Math.min(...x);
      return { stride: truth.id, joint, quantity, rmsShareOfRange: Math.sqrt(square / x.length) / range };
    }),
  );
}

const isClass = (s: Stride) =>
  s.activity === 'level walking' && s.speed !== undefined && JOINTS.every((j) => s.joints[j]?.moment);

const bySpeed = (a: Stride, b: Stride) => (a.speed as number) - (b.speed as number);

/** The strides between which a speed may be interpolated: level walking with every joint's moment, slowest first. */
export const speedClasses = (strides: Readonly<Record<string, Stride>>): Stride[] =>
  Object.values(strides).filter(isClass).sort(bySpeed);

/** Every error by joint, as one sentence's end: `hip angle 3.1 %, moment 1.7 %; knee …`. */
const leftOutText = (left: readonly LeftOut[], stride: string) =>
  JOINTS.map((joint) => {
    const of = left.filter((e) => e.joint === joint && e.stride === stride);
    return `${joint} ${of.map((e) => `${e.quantity} ${(100 * e.rmsShareOfRange).toFixed(1)} %`).join(', ')}`;
  }).join('; ');

/**
 * Level walking at `speed` m/s: linear in speed between the two classes beside it, per cent by per cent of the stride;
 * stride time by regression over stature. The error is shown, not assumed: each middle class is predicted from its own
 * neighbours and compared (`leaveOneOut`), which spans wider gaps than are interpolated here.
 *
 * Faults outside the classes' speeds, and where fewer than three classes leave the error unknown.
 */
export function strideAtSpeed(
  known: readonly Stride[],
  speed: number,
  wearer: Pick<Wearer, 'height'>,
  surface: Surface,
): StrideAtSpeed {
  const classes = known.filter(isClass).sort(bySpeed);
  const slowest = classes[0]?.speed;
  const fastest = classes[classes.length - 1]?.speed;
  if (classes.length < 3 || slowest === undefined || fastest === undefined) {
    throw new Fault({
      code: 'gait.too-few-classes',
      what: `Interpolating in speed needs three level-walking strides with all moments, there are ${classes.length}`,
      mend: 'Add the reference strides to the study, or give this task a stride of its own',
    });
  }
  if (!(speed >= slowest && speed <= fastest)) {
    throw new Fault({
      code: 'gait.speed-outside-classes',
      what: `${speed} m/s is outside the ${slowest}–${fastest} m/s for which strides are known`,
      mend: `Choose a speed from ${slowest} to ${fastest} m/s, or record strides at this speed`,
    });
  }
  const above = Math.max(
    1,
    classes.findIndex((s) => (s.speed as number) >= speed),
  );
  const [a, b] = [classes[above - 1], classes[above]];
  const leaveOneOut = classes.slice(1, -1).flatMap((truth, i) => leftOut(truth, classes[i], classes[i + 2]));
  const worst = leaveOneOut.reduce((x, y) => (y.rmsShareOfRange > x.rmsShareOfRange ? y : x));
  const strideTime = strideTimeAt(speed, wearer.height, surface);
  return {
    stride: { ...mixedStride(a, b, speed), strideTime },
    notes: [
      `Interpolated in speed between ${a.title} and ${b.title}.`,
      `Error of doing so, from leaving ${worst.stride} out: at most ${(100 * worst.rmsShareOfRange).toFixed(1)} % of range RMS (${leftOutText(leaveOneOut, worst.stride)}).`,
      `Stride time ${strideTime.toFixed(3)} s by the ${surface} regression over stature (single people scatter by about 6 %).`,
    ],
    leaveOneOut,
  };
}
