import { Fault } from '../quantity/fault.ts';
import { nearestName } from '../quantity/nearest-name.ts';
import { speedClasses, strideAtSpeed } from './at-speed.ts';
import { requireWholeStride } from './check-stride.ts';
import { sampleCurve } from './curve.ts';
import { type Demand, type JointDemand, STRIDE_SAMPLES, type StrideDemand } from './demand-result.ts';
import { deviceMasses, deviceMoment } from './device-moment.ts';
import { GRAVITY } from './inverse-dynamics.ts';
import { jointDemand, meanPeakMoment } from './joint-demand.ts';
import { massBudget } from './mass-budget.ts';
import { momentScale } from './moment-scale.ts';
import { peaksDemand } from './peaks.ts';
import { BLEND_PERCENT, stanceWeight } from './stance-weight.ts';
import { standingDemand } from './standing.ts';
import type { JointName, LegSegments, Stride, StrideCurve, Wearer } from './stride.ts';
import type { StrideTask, Task } from './task.ts';

const JOINTS: readonly JointName[] = ['hip', 'knee', 'ankle'];

const PERCENT = Float64Array.from({ length: STRIDE_SAMPLES }, (_, i) => (100 * i) / (STRIDE_SAMPLES - 1));

type Strides = Readonly<Record<string, Stride>>;

// Interpolated strides by the record they were made from: pure, so remembering them changes nothing but time.
const atSpeed = new WeakMap<Strides, Map<string, { stride: Stride; notes: readonly string[] }>>();

function namedStride(task: StrideTask, strides: Strides): Stride {
  const stride = Object.hasOwn(strides, task.stride) ? strides[task.stride] : undefined;
  if (stride !== undefined) return stride;
  const near = nearestName(task.stride, Object.keys(strides));
  throw new Fault({
    code: 'gait.unknown-stride',
    what: `There is no stride \`${task.stride}\``,
    mend: near === undefined ? `Use one of: ${Object.keys(strides).join(', ')}` : `Did you mean \`${near}\`?`,
    place: { path: `tasks.${task.id}` },
  });
}

/** The stride a task names, at its speed where it has one, and what the reader must know. Faults as `gaitDemand`. */
export function taskStride(
  task: StrideTask,
  strides: Strides,
  wearer: Wearer,
): { stride: Stride; notes: readonly string[] } {
  const named = namedStride(task, strides);
  if (task.speed === undefined) {
    requireWholeStride(named);
    const { height } = named.people;
    const notes =
      height === undefined || named.activity !== 'level walking'
        ? []
        : [`Stride time as published, for people of ${height} m; with \`speed\` it is scaled to the wearer.`];
    return { stride: named, notes };
  }
  if (named.activity !== 'level walking') {
    throw new Fault({
      code: 'gait.speed-needs-level-walking',
      what: `\`${task.stride}\` is ${named.activity}, and only level walking is interpolated in speed`,
      mend: 'Leave `speed` out, or name a stride of level walking',
      place: { path: `tasks.${task.id}.speed` },
    });
  }
  const surface = task.surface ?? 'overground';
  const known = atSpeed.get(strides) ?? new Map();
  atSpeed.set(strides, known);
  const key = `${task.speed} ${surface} ${wearer.height}`;
  let made = known.get(key);
  if (made === undefined) {
    const classes = speedClasses(strides);
    classes.forEach(requireWholeStride);
    made = strideAtSpeed(classes, task.speed, wearer, surface);
    known.set(key, made);
  }
  return made;
}

function strideDemand(
  task: StrideTask,
  strides: Strides,
  wearer: Wearer,
  segments: LegSegments,
): StrideDemand {
  const { stride, notes } = taskStride(task, strides, wearer);
  const weight = stanceWeight(stride.stance);
  const device = deviceMoment(stride, deviceMasses(segments));
  const unknown = new Float64Array(STRIDE_SAMPLES).fill(Number.NaN);
  const joints: { [joint in JointName]?: JointDemand } = {};
  for (const joint of JOINTS) {
    if (stride.joints[joint] === undefined) continue;
    const scale = momentScale(task, stride, joint, meanPeakMoment(stride, joint));
    // The hip is the wearer's own: its moment is the human one throughout.
    joints[joint] = jointDemand(
      stride,
      joint,
      wearer.mass,
      scale,
      joint === 'hip' ? unknown : device[joint],
      weight,
    );
  }
  const swing = Number.isNaN(device.knee[0])
    ? []
    : [
        `In stance the scaled human moment; in swing this leg's own shank and foot; blended over ${BLEND_PERCENT} % after toe-off (${(100 * stride.stance).toFixed(1)} %) and before initial contact.`,
      ];
  const legMass = segments.thighPart.mass + segments.shank.mass + segments.foot.mass;
  const carried = JOINTS.some((j) => stride.joints[j]?.moment !== undefined)
    ? [
        `Stance moments scale with the wearer's ${wearer.mass} kg without the device; the leg's own ${legMass.toFixed(1)} kg is not in them.`,
      ]
    : [];
  const noMoment = JOINTS.filter(
    (j) => stride.joints[j] !== undefined && stride.joints[j]?.moment === undefined,
  );
  const force = (curve: StrideCurve | undefined) =>
    curve === undefined ? unknown : sampleCurve(curve).value.map((x) => x * wearer.mass * GRAVITY);
  let budget: StrideDemand['massBudget'] | undefined;
  return {
    kind: 'stride',
    task,
    speed: stride.speed ?? Number.NaN,
    strideTime: stride.strideTime,
    stance: stride.stance,
    percent: PERCENT,
    thigh: stride.thigh === undefined ? unknown : sampleCurve(stride.thigh).value,
    groundForce: {
      vertical: force(stride.groundForce?.vertical),
      foreAft: force(stride.groundForce?.foreAft),
    },
    stanceWeight: weight,
    joints,
    notes: [
      ...notes,
      ...(noMoment.length > 0
        ? [
            `No moment was published for the ${noMoment.join(', ')}: speed only, no torque, no heat, no energy.`,
          ]
        : []),
      ...carried,
      ...swing,
      device.note,
      ...stride.caveats,
    ],
    // asked for where it is shown alone
    get massBudget() {
      budget ??= massBudget(stride, segments, joints.hip, joints.knee, weight);
      return budget;
    },
  };
}

/**
 * What a task asks of this wearer's leg.
 *
 * A stride task becomes arrays over the stride: kinematics of the stride, the scaled human moment in stance, inverse dynamics of
 * the device's own shank and foot in swing. A peaks task becomes ranges, a standing task stiffness and time.
 * Engine signs, SI. Faults: unknown stride, speed outside what is known. What a source lacks is NaN with the reason in `notes`.
 */
export function gaitDemand(task: Task, strides: Strides, wearer: Wearer, segments: LegSegments): Demand {
  if (task.kind === 'peaks') return peaksDemand(task, wearer);
  if (task.kind === 'standing') return standingDemand(task, wearer);
  return strideDemand(task, strides, wearer, segments);
}
