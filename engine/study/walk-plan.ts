import type { CompiledController } from '../control/compile-controller.ts';
import { filterPole } from '../control/sampled-joint.ts';
import { type SwingMap, swingMap, turnedMap } from '../control/swing-map.ts';
import { linkInertia } from '../drive/link-inertia.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import { curveAt } from '../gait/curve.ts';
import { gaitDemand } from '../gait/demand.ts';
import type { StrideDemand } from '../gait/demand-result.ts';
import { GRAVITY } from '../gait/inverse-dynamics.ts';
import type { DrivenJoint, Segment, Stride } from '../gait/stride.ts';
import type { StrideTask } from '../gait/task.ts';
import { dataController } from '../walk/data-controller.ts';
import { hipCourse } from '../walk/hip-course.ts';
import type { WalkingLeg } from '../walk/leg-chain.ts';
import { phaseController, type StanceTable } from '../walk/phase-controller.ts';
import { type Sole, soleOf } from '../walk/sole-contact.ts';
import { type CourseOf, legForce } from '../walk/walk-course.ts';
import { walkDrive } from '../walk/walk-drive.ts';
import type { WalkJoint, WalkSetup } from '../walk/walk-setup.ts';
import { controlledLeg } from './controlled-leg.ts';
import { type Demands, studyDemands } from './design.ts';
import { legSupply } from './leg-supply.ts';
import { phasesOf } from './power-lost.ts';
import { SPEED_FILTER } from './sampled-drive.ts';
import { type StanceSchedule, stanceSchedule } from './stance-schedule.ts';
import type { StudyInput } from './study-input.ts';
import { swingPlan } from './swing-plan.ts';
import { joinedSegments, residualLimb } from './walk-body.ts';
import { changedController, NO_CHANGE, raised, type WalkChange } from './walk-change.ts';
import { walkNeeds } from './walk-needs.ts';
import { stanceTable } from './walk-stance.ts';
import { walkStride } from './walk-stride.ts';

type Open = { readonly openBecause: string };

/** What may be asked of a walk. */
export interface WalkChoice {
  /** m/s */
  readonly speed: number;
  readonly ground?: 'treadmill' | 'overground';
  /** prescribed: the thigh does what the stride does, whatever it takes. led: a spring and damper of the wearer's hip lead it. */
  readonly thigh?: 'prescribed' | 'led';
  /** clock: stance paced by time, fitted to this stride. study: the controller that the study names, as it runs on the leg. */
  readonly control?: 'clock' | 'study';
  /** Any integer: of the noise of the sensors that a study's controller reads; left out: 1. */
  readonly seed?: number;
  /** Slope of the ground that the controller is told, rad, up ahead positive; left out: it takes the ground for level. */
  readonly told?: number;
  /** Left out: as planned. */
  readonly change?: WalkChange;
}

/** A walk before its first step, with what a reader must know of how it was made. */
export interface WalkPlan {
  readonly setup: WalkSetup;
  readonly stride: Stride;
  /** Stride time by the regression over stature, beside the L/v that is walked, s. */
  readonly regressionTime: number;
  readonly knee: StanceSchedule;
  readonly ankle: StanceSchedule;
  /** Stance as the clock asks for it, and the stride's own motion and moments on this wearer. */
  readonly law: { readonly [joint in DrivenJoint]: StanceTable };
  readonly demand: StrideDemand;
  /** The study's controller as it runs on this leg, where that is what walks. */
  readonly machine?: CompiledController;
  readonly notes: readonly string[];
}

/** Id of the stride that is walked, beside the study's own. */
const WALK = 'walk';
/** Guide of the hip's height: N/m and damping ratio on the whole mass. Our own proposal: weak enough that it carries little, strong enough to keep the gait. */
const GUIDE = { stiffness: 3000, dampingRatio: 0.7 };
/** Hip that leads the thigh, N·m/rad and N·m·s/rad per kilogram. Our own proposal, until wearers have been measured. */
const HIP = { stiffness: 8, damping: 0.4 };
/** Frequency, Hz, and damping ratio with which swing angles are followed. Our own proposal. */
const FOLLOW = { frequency: 6, dampingRatio: 0.7 };

/** What a walk has before anything is said of motors, gears and controllers: legs that differ in these alone share it. */
interface StrideOnLeg {
  readonly walked: Stride;
  /** s, by the regression over stature. */
  readonly regressionTime: number;
  readonly sole: Sole;
  /** N of wearer and leg. */
  readonly weight: number;
  readonly residual: Segment;
  readonly course: CourseOf;
  readonly demand: StrideDemand;
  readonly demands: { readonly demands: Demands };
  readonly map: SwingMap;
  readonly notes: readonly string[];
}

/** What it is made of, each compared as the object that it is: none of them is ever written into. */
const madeOf = ({ wearer, tasks, leg: { segments, foot } }: StudyInput): readonly unknown[] => [
  wearer,
  tasks,
  segments,
  foot,
];
/** As many as are kept for each set of strides: the speeds of one study, or the two ends of a change. Our choice. */
const KEPT = 8;
const known = new WeakMap<
  StudyInput['strides'],
  { readonly of: readonly unknown[]; readonly speed: number; readonly made: StrideOnLeg | Open }[]
>();

/** Remembered, since a shortlist, a price or a fault map asks for the same again and again. */
function strideOnLeg(input: StudyInput, choice: Pick<WalkChoice, 'speed'>): StrideOnLeg | Open {
  const kept = known.get(input.strides) ?? [];
  known.set(input.strides, kept);
  const of = madeOf(input);
  const found = kept.find(
    ({ speed, of: own }) => speed === choice.speed && own.every((part, i) => part === of[i]),
  );
  if (found !== undefined) return found.made;
  const made = freshStrideOnLeg(input, choice);
  kept.push({ of, speed: choice.speed, made });
  if (kept.length > KEPT) kept.shift();
  return made;
}

function freshStrideOnLeg(input: StudyInput, choice: Pick<WalkChoice, 'speed'>): StrideOnLeg | Open {
  const found = walkStride(input, choice.speed);
  if ('openBecause' in found) return found;
  const { leg, wearer } = input;
  const { segments } = leg;
  const { stride } = found;
  const [thigh, knee, ankle] = [stride.thigh!, stride.joints.knee!.angle, stride.joints.ankle!.angle];

  const { foot } = leg;
  const sole = soleOf(segments.sole, {
    heelStiffness: foot.heelStiffness!,
    toeStiffness: foot.toeStiffness!,
    damping: foot.damping!,
  });
  const residual = residualLimb(wearer.mass, wearer.residualLimbLength!, segments.thighLength);
  const device = segments.thighPart.mass + segments.shank.mass + segments.foot.mass;
  const weight = (wearer.mass + device) * GRAVITY;
  const { vertical } = stride.groundForce!;
  const hip = hipCourse({ thigh, knee, ankle }, stride.stance, segments, sole, {
    force: legForce({ vertical, weight }),
    weight,
    speed: choice.speed,
  });
  const strideTime = hip.strideLength / choice.speed;
  const walked: Stride = { ...stride, id: WALK, speed: choice.speed, strideTime };
  const task: StrideTask = {
    kind: 'stride',
    id: WALK,
    title: `walk at ${choice.speed} m/s`,
    stride: WALK,
    coverage: 0,
    ankleSizing: 'curve',
    duty: {},
  };
  const strides = { ...input.strides, [WALK]: walked };
  const demand = gaitDemand(task, strides, wearer, segments) as StrideDemand;
  const demands = { demands: { [WALK]: demand } };
  const swing = swingPlan({ ...input, strides }, task);
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
  return {
    walked,
    regressionTime: stride.strideTime,
    sole,
    weight,
    residual,
    course: {
      hip,
      thigh,
      vertical: stride.groundForce!.vertical,
      hipMoment: stride.joints.hip!.moment!,
      speed: choice.speed,
      mass: wearer.mass,
      weight,
    },
    demand,
    demands,
    map,
    notes: found.notes,
  };
}

/**
 * A walk of the study's leg and wearer at `speed`. The reasons where it cannot be told, field by field.
 *
 * Angles, other leg and hip of the level-walking stride at that speed; its stride time is what these angles on this leg take at `speed`, so
 * that the foot does not slip. Stance by springs and dampers fitted to that stride, swing by the latched thigh map.
 */
export function walkPlan(input: StudyInput, choice: WalkChoice): WalkPlan | Open {
  const lacks = walkNeeds(input);
  if (lacks.length > 0) return { openBecause: `the leg file lacks what a walk needs: ${lacks.join('; ')}` };
  const supply = legSupply(input.leg);
  if ('openBecause' in supply) return supply;
  const ground = choice.ground ?? 'treadmill';
  const on = strideOnLeg(input, choice);
  if ('openBecause' in on) return on;
  const { walked, regressionTime, sole, weight, residual, course, demand, demands, map } = on;
  const { leg, wearer } = input;
  const { segments, joints } = leg;
  const { stance, strideTime } = walked;
  const asked = demand.joints;
  const schedules = {
    knee: stanceSchedule(input, demands, 'knee', [WALK]),
    ankle: stanceSchedule(input, demands, 'ankle', [WALK]),
  };
  if ('openBecause' in schedules.knee) return schedules.knee;
  if ('openBecause' in schedules.ankle) return schedules.ankle;

  const { period, delayPeriods } = leg.controller!;
  const joint = (name: DrivenJoint): WalkJoint => {
    const drive = joints[name]!;
    const { endStop, encoder, range } = drive;
    const { bridge } = supply.joints.find((own) => own.joint === name)!;
    const turn = (2 * Math.PI) / 2 ** encoder!.bits;
    const curve = walked.joints[name]!.angle;
    const phases = phasesOf(input, name);
    return {
      drive: walkDrive(drive, bridge, drive.currentBandwidth!),
      stops: { from: range.from, to: range.to, stiffness: endStop!.stiffness, damping: endStop!.damping! },
      ...('short' in phases && { lost: phases.short }),
      encoderStep: encoder!.side === 'joint' ? turn : turn / drive.transmission.ratio,
      ...(encoder!.side === 'both' && { secondStep: turn }),
      reference: (place) => {
        const at = curveAt(curve, 100 * place);
        return { angle: at.value, rate: 100 * at.slope };
      },
    };
  };
  const { change = NO_CHANGE } = choice;
  const inertiaOf = (name: DrivenJoint): number => {
    const { motor, transmission } = joints[name]!;
    return linkInertia(name, segments) + reflectedInertia(motor, transmission);
  };
  const follow = (name: DrivenJoint) => {
    const inertia = inertiaOf(name);
    const omega = 2 * Math.PI * FOLLOW.frequency;
    const { stiffness, damping } = change.swing[name];
    return {
      stiffness: stiffness * inertia * omega * omega,
      damping: damping * 2 * FOLLOW.dampingRatio * inertia * omega,
    };
  };
  const walking: WalkingLeg = {
    gravity: GRAVITY,
    body: wearer.mass - residual.mass,
    thigh: joinedSegments(residual, segments.thighPart, segments.thighLength),
    shank: segments.shank,
    foot: segments.foot,
    kneeRotor: reflectedInertia(joints.knee!.motor, joints.knee!.transmission),
    ankleRotor: reflectedInertia(joints.ankle!.motor, joints.ankle!.transmission),
  };
  const control = {
    period,
    strideTime,
    stance,
    weight,
    knee: stanceTable(schedules.knee, asked.knee!, inertiaOf('knee'), stance, change.stance.knee),
    ankle: stanceTable(schedules.ankle, asked.ankle!, inertiaOf('ankle'), stance, change.stance.ankle),
    swing: turnedMap(map, choice.told ?? 0),
    swingGains: { knee: follow('knee'), ankle: follow('ankle') },
  };
  const controlled =
    choice.control === 'study'
      ? controlledLeg(input, { demands: studyDemands(input) }, choice.told)
      : undefined;
  if (controlled !== undefined && 'openBecause' in controlled) return controlled;
  const machine = controlled?.compiled;
  const noise = machine === undefined ? undefined : sensorNoise(input, choice.seed ?? 1);
  if (noise !== undefined && 'openBecause' in noise) return noise;
  const { bus } = leg;
  const air = leg.ambientTemperature;
  const setup: WalkSetup = {
    leg: walking,
    sole,
    knee: joint('knee'),
    ankle: joint('ankle'),
    course:
      change.socketFlexion === 0 ? course : { ...course, thigh: raised(course.thigh, -change.socketFlexion) },
    thigh:
      choice.thigh === 'led'
        ? { stiffness: HIP.stiffness * wearer.mass, damping: HIP.damping * wearer.mass }
        : 'prescribed',
    guide: {
      stiffness: GUIDE.stiffness,
      damping: 2 * GUIDE.dampingRatio * Math.sqrt((GUIDE.stiffness * weight) / GRAVITY),
    },
    ground,
    controller: () =>
      changedController(machine === undefined ? phaseController(control) : dataController(machine), change),
    period,
    delayPeriods: Math.ceil(delayPeriods),
    thighDelayPeriods: Math.ceil(leg.thighSensor!.delay! / period - 1e-9),
    filterPole: filterPole(SPEED_FILTER, period),
    supply: supply.supply,
    ...(bus?.capacitance !== undefined && {
      bus: {
        capacitance: bus.capacitance,
        ...(bus.brakeResistor && { brakeResistor: bus.brakeResistor }),
        ...(bus.overVoltage !== undefined && { overVoltage: bus.overVoltage }),
      },
    }),
    ...(noise && { noise }),
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
    regressionTime,
    knee: schedules.knee,
    ankle: schedules.ankle,
    law: { knee: control.knee, ankle: control.ankle },
    demand,
    ...(machine && { machine }),
    notes: [
      ...on.notes,
      `${choice.speed} m/s: a stride of ${strideTime.toFixed(3)} s, in which these angles on this leg go that fast without slipping; by regression over stature ${regressionTime.toFixed(3)} s. Height of the hip by these angles off by up to ${(1e3 * course.hip.heightMisfit).toFixed(0)} mm from what the standing leg asks.`,
    ],
  };
}

/** What a controller that watches its sensors must be shown, or it takes a reading that stands still for a stuck one. */
function sensorNoise(
  { leg: { thighSensor, axialLoad } }: StudyInput,
  seed: number,
): WalkSetup['noise'] | Open {
  if (thighSensor?.gyroNoise === undefined)
    return {
      openBecause:
        'the leg file does not say how restless the thigh sensor is, and a rate that stands still reads as stuck: add `gyroNoise` under `thighSensor`',
    };
  if (axialLoad === undefined)
    return {
      openBecause:
        'the leg file does not say how restless the load is, and one that stands still reads as stuck: add `axialLoad` with its `noise`',
    };
  return { thighRate: thighSensor.gyroNoise, load: axialLoad.noise, seed };
}
