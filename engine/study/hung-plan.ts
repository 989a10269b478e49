import { swingTorque } from '../control/swing-torque.ts';
import { periodicTrajectory, type Trajectory } from '../control/trajectory.ts';
import { sampleCurve } from '../gait/curve.ts';
import { taskStride } from '../gait/demand.ts';
import { GRAVITY } from '../gait/inverse-dynamics.ts';
import type { Stride, StrideCurve } from '../gait/stride.ts';
import { thighState } from '../walk/data-controller.ts';
import { hungCourse } from '../walk/hung-course.ts';
import { ledController } from '../walk/led-controller.ts';
import type { WalkCourse } from '../walk/walk-course.ts';
import type { WalkSetup } from '../walk/walk-setup.ts';
import { controlledLeg } from './controlled-leg.ts';
import { studyDemands } from './design.ts';
import { legSupply } from './leg-supply.ts';
import { ofBoth } from './of-both.ts';
import type { PlannedWalk } from './planned-walk.ts';
import { sampledDrive } from './sampled-drive.ts';
import type { StudyInput } from './study-input.ts';
import { swungLeg } from './swung-leg.ts';
import { followGains, walkHardware } from './walk-hardware.ts';
import { drivesNothing, walkNeeds } from './walk-needs.ts';
import { ownMotion, soleOfLeg, wearersLeg } from './walk-wearer.ts';

type Open = { readonly openBecause: string };

/** Harmonics in which the joints are led: a stride of 0.74 s up to 11 Hz; those that ship have as many. Our choice. */
const HARMONICS = 8;
/** What holds the hip, N/m, and its damping ratio on wearer and leg: it yields by a millimetre or less. Our choice. */
const HANGER = { stiffness: 1e6, dampingRatio: 0.7 };
/** m of air below a foot that hangs straight down. Our choice. */
const AIR = 0.1;

/** What a reader of a leg that hangs must know. */
const HUNG_NOTE =
  'Hung over no ground: nothing is told of ground force, socket, hip, guide and push-off, since with these angles no force and no moment were published. What the joints follow here they follow without any load but the leg itself.';

/**
 * The leg hung at a hip that stands still, its thigh led as the stride of a task leads it, knee and ankle led by their drives through a clock:
 * tracking alone. Gains: `clock`, 6 Hz at 0.7 on limb and rotor; `study`, those of the controller's state that the thigh leads, its limits
 * left out. Open where the stride has no angles of hip or thigh, knee and ankle.
 */
export function hungPlan(
  input: StudyInput,
  { task: id, control }: { readonly task: string; readonly control: 'clock' | 'study' },
): PlannedWalk<WalkSetup> | Open {
  if (drivesNothing(input.leg)) return { openBecause: 'this leg has no drives that could lead it' };
  const lacks = walkNeeds(input);
  if (lacks.length > 0) return { openBecause: `the leg file lacks what this needs: ${lacks.join('; ')}` };
  const task = input.tasks.find((one) => one.id === id);
  if (task === undefined || task.kind !== 'stride')
    return { openBecause: `the study has no task \`${id}\` of a stride` };
  const supply = legSupply(input.leg);
  if ('openBecause' in supply) return supply;
  const { stride } = taskStride(task, input.strides, input.wearer);
  const { hip, knee, ankle } = stride.joints;
  const thigh = stride.thigh ?? hip?.angle;
  if (thigh === undefined || knee === undefined || ankle === undefined)
    return { openBecause: 'its stride has no angle of hip or thigh, of knee or of ankle' };
  const led = { thigh: closed(thigh), knee: closed(knee.angle), ankle: closed(ankle.angle) };
  const walked: Stride = {
    ...stride,
    thigh: led.thigh,
    joints: { knee: { angle: led.knee }, ankle: { angle: led.ankle } },
  };
  const hardware = walkHardware(input, supply, {
    knee: ownMotion(led.knee),
    ankle: ownMotion(led.ankle),
  });
  const gains = control === 'clock' ? clockGains(input) : studyGains(input);
  if ('openBecause' in gains) return gains;
  const { segments } = input.leg;
  const reach = Math.max(...segments.sole.map(({ x, z }) => Math.hypot(x, z)));
  const height = segments.thighLength + segments.shank.length + reach + AIR;
  const { leg, socket, weight } = wearersLeg(input);
  const angles = { knee: trajectory(led.knee), ankle: trajectory(led.ankle) };
  let known: WalkCourse | undefined;
  return {
    setup: {
      ...hardware,
      leg,
      socket,
      sole: soleOfLeg(input.leg),
      course: {
        hip: standingAt(height),
        mass: input.wearer.mass,
        weight,
        rows: (step) => {
          if (known?.step !== step)
            known = hungCourse({ ...walked, thigh: led.thigh }, { height, weight }, step);
          return known;
        },
      },
      thigh: 'prescribed',
      guide: {
        stiffness: HANGER.stiffness,
        damping: 2 * HANGER.dampingRatio * Math.sqrt((HANGER.stiffness * weight) / GRAVITY),
      },
      ground: 'overground',
      controller: () =>
        ledController({
          period: hardware.period,
          strideTime: stride.strideTime,
          stance: stride.stance,
          ...angles,
          gains,
          torque: swingTorque(
            { ...angles, thigh: trajectory(led.thigh) },
            1 / stride.strideTime,
            swungLeg(input),
          ),
        }),
    },
    stride: walked,
    regressionTime: stride.strideTime,
    notes: [
      ...stride.caveats,
      ...(stride.thigh === undefined
        ? [
            'The thigh goes as the published hip does: how the pelvis leans and nods was not published with it, and is not in it. The hip stands still: its path was not published either.',
          ]
        : ['The hip stands still: its path was not published.']),
      ...Object.entries({ thigh, knee: knee.angle, ankle: ankle.angle }).flatMap(([name, curve]) => {
        const off = gap(curve);
        return Math.abs(off) < CLOSES
          ? []
          : [
              `Its ${name} does not close by ${degrees(off)}: led along the same curve with that taken out evenly over the stride, at most ${degrees(off / 2)} beside it.`,
            ];
      }),
      HUNG_NOTE,
    ],
  };
}

const degrees = (x: number): string => `${((Math.abs(x) * 180) / Math.PI).toFixed(1)}°`;
const trajectory = (curve: StrideCurve): Trajectory =>
  periodicTrajectory(sampleCurve(curve).value, HARMONICS);

/** rad by which a curve may miss its beginning and be called closed. Our choice. */
const CLOSES = 1e-3;

function gap(curve: StrideCurve): number {
  const { value } = sampleCurve(curve);
  return value[value.length - 1] - value[0];
}

/** The curve as a series that ends where it begins:  y(s) − d·(s − ½),  d = y(1) − y(0), as `periodicTrajectory` finds it. */
function closed(curve: StrideCurve): StrideCurve {
  const kept = trajectory(curve);
  const [cos, sin] = [0, 1].map((k) => Array.from(kept.slice(2)).filter((_, i) => i % 2 === k));
  return { form: 'series', mean: kept[1] + kept[0] / 2, drift: 0, cos, sin };
}

/** A hip that stays where it is. */
export const standingAt = (height: number): WalkSetup['course']['hip'] => ({
  strideLength: 0,
  height: Float64Array.of(height, 0, 0, 0, 0, 0, 0),
  pace: new Float64Array(7),
  heightMisfit: 0,
  paceMisfit: 0,
});

const clockGains = (input: StudyInput) =>
  ofBoth((joint) => {
    const sampled = sampledDrive(input, joint);
    return 'openBecause' in sampled ? sampled : followGains(input, joint, sampled);
  });

function studyGains(input: StudyInput) {
  const controlled = controlledLeg(input, { demands: studyDemands(input) });
  if ('openBecause' in controlled) return controlled;
  const { compiled } = controlled;
  const state = thighState(compiled);
  if (state < 0) return { openBecause: 'the study’s controller has no state in which the thigh leads' };
  const of = (joint: number) => ({
    stiffness: compiled.stiffness[2 * state + joint],
    damping: compiled.damping[2 * state + joint],
    carries: compiled.carries[2 * state + joint],
  });
  return { knee: of(0), ankle: of(1) };
}
