import { filterPole } from '../control/sampled-joint.ts';
import { swingMap } from '../control/swing-map.ts';
import { linkInertia } from '../drive/link-inertia.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import { speedClasses, strideAtSpeed } from '../gait/at-speed.ts';
import { curveAt } from '../gait/curve.ts';
import { gaitDemand } from '../gait/demand.ts';
import { GRAVITY } from '../gait/inverse-dynamics.ts';
import type { DrivenJoint, Segment, Stride } from '../gait/stride.ts';
import type { StrideTask } from '../gait/task.ts';
import { Fault } from '../quantity/fault.ts';
import { hipCourse } from '../walk/hip-course.ts';
import type { WalkingLeg } from '../walk/leg-chain.ts';
import { phaseController, type StanceTable } from '../walk/phase-controller.ts';
import { soleOf } from '../walk/sole-contact.ts';
import { walkDrive } from '../walk/walk-drive.ts';
import type { WalkJoint, WalkSetup } from '../walk/walk-setup.ts';
import { legSupply } from './leg-supply.ts';
import { SPEED_FILTER } from './sampled-drive.ts';
import { type StanceSchedule, stanceSchedule } from './stance-schedule.ts';
import type { StudyInput } from './study-input.ts';
import { swingPlan } from './swing-plan.ts';

type Open = { readonly openBecause: string };

/** What may be asked of a walk. */
export interface WalkChoice {
  /** m/s */
  readonly speed: number;
  readonly ground?: 'treadmill' | 'overground';
  /** prescribed: the thigh does what the stride does, whatever it takes. led: a spring and damper of the wearer's hip lead it. */
  readonly thigh?: 'prescribed' | 'led';
}

/** A walk before its first step, with what a reader must know of how it was made. */
export interface WalkPlan {
  readonly setup: WalkSetup;
  readonly stride: Stride;
  /** Stride time by the regression over stature, beside the L/v that is walked, s. */
  readonly regressionTime: number;
  readonly knee: StanceSchedule;
  readonly ankle: StanceSchedule;
  readonly notes: readonly string[];
}

/** Guide of the hip's height: N/m and damping ratio on the whole mass. Our own proposal: weak enough that it carries little, strong enough to keep the gait. */
const GUIDE = { stiffness: 4000, dampingRatio: 0.7 };
/** Hip that leads the thigh, N·m/rad and N·m·s/rad per kilogram. Our own proposal, until wearers have been measured. */
const HIP = { stiffness: 5, damping: 0.15 };
/** Frequency, Hz, and damping ratio with which swing angles are followed. Our own proposal. */
const FOLLOW = { frequency: 5, dampingRatio: 0.7 };
/** Below the slowest published stride by no more than this, its curves are walked at a slower pace. Our own choice. */
const SLOWER = 0.9;
/** Steps of a stance table. */
const STEPS = 200;

/**
 * Thigh of a residual limb as Dempster's whole thigh, shorter: mass 0.100 of the body, centre at 0.433, radius of gyration 0.323 of its length.
 * Winter, Biomechanics and Motor Control of Human Movement, 4th ed. (2009), table 4.1. That mass goes with length: COMMON PRACTICE.
 */
const THIGH = { mass: 0.1, centre: 0.433, gyration: 0.323 };

/**
 * A walk of the study's leg and wearer at `speed`. The reasons where it cannot be told, field by field.
 *
 * Angles, other leg and hip of the level-walking stride at that speed; its stride time is what these angles on this leg take at `speed`, so
 * that the foot does not slip. Stance by springs and dampers fitted to that stride, swing by the latched thigh map.
 */
export function walkPlan(input: StudyInput, choice: WalkChoice): WalkPlan | Open {
  const lacks = missing(input);
  if (lacks.length > 0) return { openBecause: `the leg file lacks what a walk needs: ${lacks.join('; ')}` };
  const supply = legSupply(input.leg);
  if ('openBecause' in supply) return supply;
  const ground = choice.ground ?? 'treadmill';
  const found = walkStride(input, choice.speed, ground);
  if ('openBecause' in found) return found;
  const { leg, wearer } = input;
  const { segments } = leg;
  const { stride, task } = found;
  const [thigh, knee, ankle] = [stride.thigh!, stride.joints.knee!.angle, stride.joints.ankle!.angle];

  const { foot, joints } = leg;
  const sole = soleOf(segments.sole, {
    heelStiffness: foot.heelStiffness!,
    toeStiffness: foot.toeStiffness!,
    damping: foot.damping!,
  });
  const residual = residualLimb(wearer.mass, wearer.residualLimbLength!, segments.thighLength);
  const device = segments.thighPart.mass + segments.shank.mass + segments.foot.mass;
  const weight = (wearer.mass + device) * GRAVITY;
  // three points under half the weight each sink by this
  const depth = (weight / 6 / foot.heelStiffness!) ** (2 / 3);
  const hip = hipCourse({ thigh, knee, ankle }, stride.stance, segments, depth);
  const strideTime = hip.strideLength / choice.speed;
  const walked: Stride = { ...stride, strideTime };

  const demands = {
    demands: {
      [task.id]: gaitDemand(task, { ...input.strides, [walked.id]: walked }, wearer, segments),
    },
  };
  const schedules = {
    knee: stanceSchedule(input, demands, 'knee', [task.id]),
    ankle: stanceSchedule(input, demands, 'ankle', [task.id]),
  };
  if ('openBecause' in schedules.knee) return schedules.knee;
  if ('openBecause' in schedules.ankle) return schedules.ankle;

  const swing = swingPlan(input, task);
  if ('openBecause' in swing) return swing;
  const map = swingMap({
    thigh: swing.thigh,
    knee: swing.knee,
    ankle: swing.ankle,
    stance: stride.stance,
    strideTime,
    finish: true,
    path: `walk at ${choice.speed} m/s`,
  });
  const { period, delayPeriods } = leg.controller!;
  const joint = (name: DrivenJoint): WalkJoint => {
    const drive = joints[name]!;
    const { endStop, encoder, range } = drive;
    const { bridge } = supply.joints.find((own) => own.joint === name)!;
    const turn = (2 * Math.PI) / 2 ** encoder!.bits;
    const curve = stride.joints[name]!.angle;
    return {
      drive: walkDrive(drive, bridge, drive.currentBandwidth!),
      stops: { from: range.from, to: range.to, stiffness: endStop!.stiffness, damping: endStop!.damping! },
      encoderStep: encoder!.side === 'joint' ? turn : turn / drive.transmission.ratio,
      reference: (place) => {
        const at = curveAt(curve, 100 * place);
        return { angle: at.value, rate: 100 * at.slope };
      },
    };
  };
  const follow = (name: DrivenJoint) => {
    const { motor, transmission } = joints[name]!;
    const inertia = linkInertia(name, segments) + reflectedInertia(motor, transmission);
    const omega = 2 * Math.PI * FOLLOW.frequency;
    return { stiffness: inertia * omega * omega, damping: 2 * FOLLOW.dampingRatio * inertia * omega };
  };
  const walking: WalkingLeg = {
    gravity: GRAVITY,
    body: wearer.mass - residual.mass,
    thigh: joined(residual, segments.thighPart, segments.thighLength),
    shank: segments.shank,
    foot: segments.foot,
    kneeRotor: reflectedInertia(joints.knee!.motor, joints.knee!.transmission),
    ankleRotor: reflectedInertia(joints.ankle!.motor, joints.ankle!.transmission),
  };
  const control = {
    period,
    strideTime,
    stance: stride.stance,
    weight,
    knee: tableOf(schedules.knee, stride.stance),
    ankle: tableOf(schedules.ankle, stride.stance),
    swing: map,
    swingGains: { knee: follow('knee'), ankle: follow('ankle') },
  };
  const air = leg.ambientTemperature;
  const setup: WalkSetup = {
    leg: walking,
    sole,
    knee: joint('knee'),
    ankle: joint('ankle'),
    course: {
      hip,
      thigh,
      vertical: stride.groundForce!.vertical,
      hipMoment: stride.joints.hip!.moment!,
      speed: choice.speed,
      mass: wearer.mass,
      weight,
    },
    thigh:
      choice.thigh === 'led'
        ? { stiffness: HIP.stiffness * wearer.mass, damping: HIP.damping * wearer.mass }
        : 'prescribed',
    guide: {
      stiffness: GUIDE.stiffness,
      damping: 2 * GUIDE.dampingRatio * Math.sqrt((GUIDE.stiffness * weight) / GRAVITY),
    },
    ground,
    controller: () => phaseController(control),
    period,
    delayPeriods: Math.ceil(delayPeriods),
    thighDelayPeriods: Math.ceil(leg.thighSensor!.delay! / period - 1e-9),
    filterPole: filterPole(SPEED_FILTER, period),
    supply: supply.supply,
    ambient: air,
    temperature: air,
    socket: {
      gravity: GRAVITY,
      cut: { x: 0, z: -wearer.residualLimbLength! },
      thigh: { ...segments.thighPart, length: segments.thighLength },
      shank: segments.shank,
      foot: segments.foot,
    },
  };
  return {
    setup,
    stride: walked,
    regressionTime: stride.strideTime,
    knee: schedules.knee,
    ankle: schedules.ankle,
    notes: found.notes,
  };
}

/** Every field that a walk needs and the files do not have, in words. */
function missing({ leg, wearer }: StudyInput): string[] {
  const { foot, joints, controller, thighSensor, ambientTemperature, segments } = leg;
  const lacks: string[] = [];
  const need = (known: boolean, what: string) => {
    if (!known) lacks.push(what);
  };
  for (const name of ['knee', 'ankle'] as const) {
    const drive = joints[name];
    need(drive !== undefined, `a ${name} under \`joints\``);
    if (drive === undefined) continue;
    need(drive.endStop !== undefined, `\`endStop\` of the ${name}`);
    if (drive.endStop !== undefined)
      need(drive.endStop.damping !== undefined, `\`damping\` in \`endStop\` of the ${name}`);
    need(drive.encoder !== undefined, `\`encoder\` under \`sensors\` of the ${name}`);
    need(drive.currentBandwidth !== undefined, `\`currentBandwidth\` in \`electronics\` of the ${name}`);
    need(drive.thermal !== undefined, `\`thermal\` of the ${name}`);
  }
  need(segments.sole.length > 0, '`sole` under `foot`');
  for (const name of ['heelStiffness', 'toeStiffness', 'damping'] as const)
    need(foot[name] !== undefined, `\`${name}\` under \`foot\``);
  need(controller !== undefined, '`controllerHardware`');
  need(thighSensor?.delay !== undefined, '`delay` under `thighSensor`');
  need(!Number.isNaN(ambientTemperature), '`ambientTemperature`');
  need(wearer.residualLimbLength !== undefined, '`residualLimbLength` in the wearer’s file');
  return lacks;
}

/** The level-walking stride at a speed, as a task of its own. */
function walkStride(
  { strides, wearer }: StudyInput,
  speed: number,
  surface: 'treadmill' | 'overground',
): { readonly stride: Stride; readonly task: StrideTask; readonly notes: readonly string[] } | Open {
  const classes = speedClasses(strides);
  const slowest = classes[0];
  const task = (stride: string, at?: number): StrideTask => ({
    kind: 'stride',
    id: 'walk',
    title: `walk at ${speed} m/s`,
    stride,
    ...(at !== undefined && { speed: at, surface }),
    coverage: 0,
    ankleSizing: 'curve',
    duty: {},
  });
  try {
    if (slowest?.speed !== undefined && speed < slowest.speed && speed >= SLOWER * slowest.speed)
      return {
        stride: slowest,
        task: task(slowest.id),
        notes: [
          `Slower than any published stride: the curves of ${slowest.title}, ${slowest.speed} m/s, at a slower pace.`,
        ],
      };
    const { stride, notes } = strideAtSpeed(classes, speed, wearer, surface);
    const whole =
      stride.thigh !== undefined &&
      stride.groundForce !== undefined &&
      stride.joints.hip?.moment !== undefined;
    if (!whole) return { openBecause: 'its stride has no thigh angle, no ground force or no hip moment' };
    return { stride, task: task(slowest.id, speed), notes };
  } catch (error) {
    if (error instanceof Fault) return { openBecause: error.faults[0].what };
    throw error;
  }
}

/** What of the thigh is the wearer's. */
function residualLimb(mass: number, length: number, whole: number): Segment {
  const own = (THIGH.mass * mass * length) / whole;
  return {
    length,
    mass: own,
    centre: { x: 0, z: -THIGH.centre * length },
    inertia: own * (THIGH.gyration * length) ** 2,
  };
}

/** Two bodies in one frame as one. */
function joined(a: Segment, b: Segment, length: number): Segment {
  const mass = a.mass + b.mass;
  const centre = {
    x: (a.mass * a.centre.x + b.mass * b.centre.x) / mass,
    z: (a.mass * a.centre.z + b.mass * b.centre.z) / mass,
  };
  const about = (s: Segment): number =>
    s.inertia + s.mass * ((s.centre.x - centre.x) ** 2 + (s.centre.z - centre.z) ** 2);
  return { length, mass, centre, inertia: about(a) + about(b) };
}

/** A schedule by sub-phases over the phase of stance. */
function tableOf({ subphases, tasks }: StanceSchedule, stance: number): StanceTable {
  const ends = tasks[0].percent.slice(1).map((percent) => percent / 100 / stance);
  const of = (name: 'stiffness' | 'offset' | 'damping'): Float64Array =>
    Float64Array.from({ length: STEPS + 1 }, (_, i) => {
      const p = ends.findIndex((end) => i / STEPS <= end);
      return subphases[p < 0 ? subphases.length - 1 : p].impedance[name];
    });
  return { stiffness: of('stiffness'), offset: of('offset'), damping: of('damping') };
}
