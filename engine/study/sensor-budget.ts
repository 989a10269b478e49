import { SENSOR_ERRORS, type SensorError } from '../control/sensed-thigh.ts';
import type { WholeSensor } from '../control/thigh-sensor.ts';
import { legPose } from '../gait/pose.ts';
import { CORRECTION_TIME, heardWalk, sensorKey, sensorOf } from './heard-walk.ts';
import type { StudyInput } from './study-input.ts';
import { type ReadySwing, readySwing, remembered } from './swing-ready.ts';
import { latched, type SwingCourse } from './swing-run.ts';
import { type WalkedStride, walkedStride } from './walked-course.ts';

type Open = { readonly openBecause: string };

/** Times that the budget tries beside it, s. */
const OTHER_TIMES = [2, 4, 16] as const;
/** Strides that are judged. Our choice. */
const JUDGED = 10;

/** What one error, or all of them, does to the thigh, the phase and the foot. */
export interface SensedError {
  /** To which side the errors that do not change by themselves lie: 1 as a thigh read too far forward by its pose, −1 too far back. */
  readonly side: 1 | -1;
  /** Thigh angle as read less the thigh as it is, over the judged strides, rad. */
  readonly thigh: { readonly rms: number; readonly worst: number; readonly mean: number };
  /** Phase less the phase that the true thigh drives, in swing, share of the stride. */
  readonly phase: { readonly rms: number; readonly worst: number };
  /** Ankle axis against where the true thigh would have it put, seen from the hip, m: at contact, and at most on the way. */
  readonly placement: number;
  readonly path: number;
}

/** One line of the budget. */
export interface SensorSource {
  readonly source: SensorError;
  /** With this error only. */
  readonly alone: SensedError;
  /** With all but this: what mending it leaves. */
  readonly without: SensedError;
}

/** What the errors of the thigh sensor make of one task's swing. */
export interface SensorBudget {
  readonly task: string;
  readonly title: string;
  readonly together: SensedError;
  /** Largest share of the thigh's error first. */
  readonly sources: readonly SensorSource[];
  /** The error whose mending helps the thigh most. */
  readonly improveFirst: SensorError;
  /** The same with other times of the correction: s, RMS of the thigh with all errors, rad. */
  readonly times: readonly { readonly time: number; readonly thigh: number }[];
  /** What the hip is taken to do. */
  readonly hip: string;
}

/** A task's strides through its sensor, ready to be run with any errors. */
interface ReadySensor {
  readonly swing: ReadySwing;
  readonly walked: WalkedStride;
  readonly sensor: WholeSensor;
}

function readySensor(input: StudyInput, id: string): ReadySensor | Open {
  const sensor = sensorOf(input);
  if ('openBecause' in sensor) return sensor;
  const swing = readySwing(input, id, undefined);
  if ('openBecause' in swing) return swing;
  const walked = walkedStride(swing.plan.stride);
  return 'openBecause' in walked ? walked : { swing, walked, sensor };
}

/**
 * All errors of the leg's thigh sensor together, in one task: ten strides walked after the filter has settled, the errors that lie to one
 * side on the side that moves the phase more. Open where the leg file
 * does not say all of the sensor, or where the task's swing cannot be judged.
 */
export function sensedSwing(input: StudyInput, id: string): SensedError | Open {
  return remembered(input, `sensed ${id} ${sensorKey(input)}`, () => {
    const of = readySensor(input, id);
    if ('openBecause' in of) return of;
    const [forward, back] = ([1, -1] as const).map((side) =>
      judge(input, of, SENSOR_ERRORS, CORRECTION_TIME, side),
    );
    return back.phase.worst > forward.phase.worst ? back : forward;
  });
}

/** Each error of the thigh sensor alone, all but it, and all together; open as `sensedSwing`. */
export function sensorBudget(input: StudyInput, id: string): SensorBudget | Open {
  const of = readySensor(input, id);
  if ('openBecause' in of) return of;
  const together = sensedSwing(input, id);
  if ('openBecause' in together) return together;
  const { side } = together;
  const run = (errors: readonly SensorError[]) => judge(input, of, errors, CORRECTION_TIME, side);
  const sources = SENSOR_ERRORS.map((source) => ({
    source,
    alone: run([source]),
    without: run(SENSOR_ERRORS.filter((other) => other !== source)),
  })).sort((a, b) => b.alone.thigh.rms - a.alone.thigh.rms);
  const first = sources.reduce((a, b) => (b.without.thigh.rms < a.without.thigh.rms ? b : a));
  const times = [
    ...OTHER_TIMES.map((time) => ({ time, thigh: judge(input, of, SENSOR_ERRORS, time, side).thigh.rms })),
    { time: CORRECTION_TIME, thigh: together.thigh.rms },
  ].sort((a, b) => a.time - b.time);
  return {
    task: id,
    title: of.swing.task.title,
    together,
    sources,
    improveFirst: first.source,
    times,
    hip:
      of.walked.stride.groundForce === undefined
        ? 'No ground force came with this stride: the hip is taken as unaccelerated, so what its acceleration does is too small'
        : 'The hip is accelerated as the ground force of both legs, taken as alike, moves the body',
  };
}

/** The true thigh at the controller's ticks, not late: what every error is set against. */
function judge(
  input: StudyInput,
  { swing, walked, sensor }: ReadySensor,
  errors: readonly SensorError[],
  time: number,
  side: 1 | -1,
): SensedError {
  const { strideTime } = swing.plan.stride;
  const { settled, angle, rate } = heardWalk(sensor, walked, JUDGED, { errors, time, side });
  const ideal = latched(swing, (place) => swing.thigh(place));

  let [square, worst, sum, n] = [0, 0, 0, 0];
  const first = Math.ceil((settled * strideTime) / swing.dt);
  const last = Math.floor(((settled + JUDGED) * strideTime) / swing.dt);
  for (let k = first; k < last; k++) {
    const t = k * swing.dt;
    const off = angle(t) - swing.thigh(t / strideTime).value;
    square += off * off;
    sum += off;
    n++;
    worst = Math.max(worst, Math.abs(off));
  }
  let [phaseSquare, phaseWorst, phases, placement, path] = [0, 0, 0, 0, 0];
  for (let stride = 0; stride < JUDGED; stride++) {
    const course = latched(swing, (place) => {
      const t = (settled + stride + place) * strideTime;
      return { value: angle(t), slope: rate(t) * strideTime };
    });
    for (let k = 0; k < course.phase.length; k++) {
      const off = course.phase[k] - ideal.phase[k];
      phaseSquare += off * off;
      phases++;
      phaseWorst = Math.max(phaseWorst, Math.abs(off));
      path = Math.max(path, footOff(input, course, ideal, k));
    }
    placement = Math.max(placement, footOff(input, course, ideal, course.phase.length - 1));
  }
  return {
    side,
    thigh: { rms: Math.sqrt(square / n), worst, mean: sum / n },
    phase: { rms: Math.sqrt(phaseSquare / phases), worst: phaseWorst },
    placement,
    path,
  };
}

/** Distance of the ankle axis in two courses at the same true thigh, m. */
function footOff({ leg }: StudyInput, a: SwingCourse, b: SwingCourse, k: number): number {
  const at = (course: SwingCourse) =>
    legPose(leg.segments, b.ownThigh[k], course.knee[k], course.ankle[k]).ankle;
  const [p, q] = [at(a), at(b)];
  return Math.hypot(p.x - q.x, p.z - q.z);
}
