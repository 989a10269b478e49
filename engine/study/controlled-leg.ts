import type { CarriedMap } from '../control/carried-map.ts';
import type { ReactionTiming } from '../control/check-controller.ts';
import {
  type BySpeed,
  type CompiledController,
  type ControllerParts,
  compileController,
} from '../control/compile-controller.ts';
import type { Controller, PhaseChoice, SchedulePoint } from '../control/controller.ts';
import { impedanceAtPhase } from '../control/phase-fit.ts';
import type { SampledJoint } from '../control/sampled-joint.ts';
import { softwareGains } from '../control/software-gains.ts';
import { swingMap, turnedMap } from '../control/swing-map.ts';
import { swingTorque } from '../control/swing-torque.ts';
import { type Trajectory, trajectoryAt } from '../control/trajectory.ts';
import { motorConstant, motorConstants } from '../drive/torque-constant.ts';
import { GRAVITY } from '../gait/inverse-dynamics.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { Fault, type FaultData } from '../quantity/fault.ts';
import type { DesignResult } from './design.ts';
import { ofBoth } from './of-both.ts';
import { sampledDrive } from './sampled-drive.ts';
import { atSpeeds, estimateMap } from './speed-layers.ts';
import { stanceAboutStride } from './stance-about-stride.ts';
import { stanceOverPhase } from './stance-schedule.ts';
import type { StudyController, StudyInput } from './study-input.ts';
import { readySwing } from './swing-ready.ts';
import { swungLeg } from './swung-leg.ts';

type Open = { readonly openBecause: string };

/** The study's controller, ready to run on this leg and wearer. */
export interface ControlledLeg extends StudyController {
  readonly compiled: CompiledController;
  /** Schedules as they were written or fitted, gains at the joint; one for each speed, the slowest first, or one alone. */
  readonly schedules: { readonly [name: string]: readonly (readonly SchedulePoint[])[] };
  readonly joints: { readonly [joint in DrivenJoint]: SampledJoint };
  readonly timing: ReactionTiming;
}

/** The reading of each joint's second encoder. */
export const SECOND = { knee: 'kneeSecond', ankle: 'ankleSecond' } as const;

/** Points at which a fitted schedule is carried: straight lines between them stay within a percent of its stiffness. Our choice. */
const POINTS = 17;

/** Times that √(J_r/K_g) in which a rotor that is let go unwinds its gears; a quarter of its swing takes π/2. Our own choice. */
const UNWINDS = 2;

/**
 * Compiles the study's controller: maps from the thigh curves of its tasks, schedules fitted to the study's strides, gains of the
 * software for what the joints shall be, body weight of the wearer. `told` a slope of its ground, rad, up ahead positive, its maps are turned by
 * it, since on a slope the thigh goes forth and back about another middle, and what it reads of the slope itself is left. Throws the Fault of a controller that cannot be compiled; open where
 * the study names none, or the leg file lacks what a controller runs on.
 */
export function controlledLeg(
  input: StudyInput,
  design: Pick<DesignResult, 'demands'>,
  told?: number,
): ControlledLeg | Open {
  const chosen = input.controller;
  if (chosen === undefined)
    return { openBecause: 'the study names no controller: add `controller:` to study.yaml' };
  const both = ofBoth(jointOf);
  if ('openBecause' in both) return both;
  const joints: ControlledLeg['joints'] = both;
  const { knee } = joints;
  const { slope, ...rest } = chosen.controller;
  const controller: Controller = told === undefined && slope !== undefined ? { ...rest, slope } : rest;
  const schedules: Record<string, readonly SchedulePoint[] | BySpeed<readonly SchedulePoint[]>> = {};
  for (const [name, choice] of Object.entries(controller.schedules)) {
    const path = `schedules.${name}`;
    if ('points' in choice) {
      schedules[name] = choice.points;
      continue;
    }
    const { fit } = choice;
    const one = (tasks: readonly string[] | undefined): readonly SchedulePoint[] => {
      const fitted = fittedSchedule(input, design, { ...fit, ...(tasks && { tasks }) });
      if ('openBecause' in fitted)
        throw impossible(path, `${fit.bySpeed ? `${tasks!.join(', ')}: ` : ''}${fitted.openBecause}`);
      return fitted;
    };
    schedules[name] = fit.bySpeed
      ? { bySpeed: atSpeeds(input, fit.tasks ?? [], knee.period, path, (task) => one([task])) }
      : one(fit.tasks);
  }
  const maps: Record<string, CarriedMap | BySpeed<CarriedMap>> = {};
  for (const [name, choice] of Object.entries(controller.phases)) {
    const path = `phases.${name}`;
    let lacks: Open | undefined;
    const one = (task: string): CarriedMap => {
      const map = carriedMap(input, { ...choice, task, carries: carriesIn(controller, name) }, path);
      if (!('openBecause' in map)) return { ...map, map: turnedMap(map.map, map.sign * (told ?? 0)) };
      if (map.openBecause.startsWith('the leg file')) {
        lacks = map;
        throw impossible(path, map.openBecause);
      }
      throw impossible(path, 'tasks' in choice ? `${task}: ${map.openBecause}` : map.openBecause);
    };
    try {
      maps[name] =
        'tasks' in choice
          ? { bySpeed: atSpeeds(input, choice.tasks, knee.period, path, one) }
          : one(choice.task);
    } catch (error) {
      if (lacks !== undefined) return lacks;
      throw error;
    }
  }
  const compiled = compileController(controller, {
    period: knee.period,
    bodyWeight: input.wearer.mass * GRAVITY,
    maps,
    schedules,
    ...(controller.speed && { walk: estimateMap(input, controller, knee.period) }),
    drives: { knee: driveOf('knee'), ankle: driveOf('ankle') },
    software: (joint, asked) => softwareGains(joints[joint], asked),
  });
  const layers = Object.entries(schedules).map(([name, own]) => [
    name,
    'bySpeed' in own ? own.bySpeed.map(({ of }) => of) : [own],
  ]);
  return {
    ...chosen,
    compiled,
    schedules: Object.fromEntries(layers),
    joints,
    timing: { period: knee.period, delay: knee.delay },
  };

  function driveOf(joint: DrivenJoint): NonNullable<ControllerParts['drives']>[DrivenJoint] {
    const { motor, transmission, encoder } = input.leg.joints[joint]!;
    const watch = controller.watches.find(({ sensor }) => sensor === SECOND[joint]);
    if (watch !== undefined && encoder!.side !== 'both')
      throw new Fault({
        code: 'control.one-encoder',
        what: `the ${joint} of this leg has one encoder, on its ${encoder!.side}: there is no second to read`,
        mend: `Write \`side: both\` under \`encoder\` in the leg file where one sits on each side of the gears, or take out the fault`,
        place: { path: `faults.${watch.name}` },
      });
    const { ktPerPhasePeak } = motorConstants(motor.fluxLinkage, motor.polePairs);
    return {
      // driven by the joint, gears carry what the motor gives and what the mesh loses
      windUp: 1 / (transmission.torsionalStiffness * transmission.backDrivenEfficiency),
      unwinds: UNWINDS * Math.sqrt(joints[joint].rotorInertia / transmission.torsionalStiffness),
      ahead: encoder!.side === 'joint' ? 0 : 1 / transmission.torsionalStiffness,
      copper: (transmission.ratio * motorConstant(ktPerPhasePeak, motor.resistance)) ** -2,
    };
  }

  function jointOf(joint: DrivenJoint): SampledJoint | Open {
    return sampledDrive(input, joint, chosen!.controller.filter);
  }
}

const impossible = (path: string, why: string): Fault => {
  const fault: FaultData = {
    code: 'control.no-source',
    what: why,
    mend: 'Name another task, or write the numbers instead',
    place: { path },
  };
  return new Fault(fault);
};

/** A schedule over the stance phase, fitted to the tasks of one joint, its own damper added. */
function fittedSchedule(
  input: StudyInput,
  design: Pick<DesignResult, 'demands'>,
  {
    joint,
    tasks,
    stiffness,
    damping,
  }: { joint: DrivenJoint; tasks?: readonly string[]; stiffness?: number; damping: number },
): readonly SchedulePoint[] | Open {
  if (stiffness !== undefined)
    return stanceAboutStride(
      design,
      tasks![0],
      joint,
      { stiffness, damping },
      input.leg.joints[joint]!.range,
    );
  const fit = stanceOverPhase(input, design, joint, tasks);
  if ('openBecause' in fit) return fit;
  return Array.from({ length: POINTS }, (_, k) => {
    const at = k / (POINTS - 1);
    const { stiffness, offset, damping: own } = impedanceAtPhase(fit.schedule, at);
    return { at, stiffness, equilibrium: offset / stiffness, damping: own + damping };
  });
}

/** A phase's map: swing as it stands, stance as the map of the thigh going back, −θ. */
function carriedMap(
  input: StudyInput,
  {
    task,
    part,
    finish,
    full,
    carries,
  }: {
    readonly task: string;
    readonly part: PhaseChoice['part'];
    readonly finish: boolean;
    readonly full?: number;
    readonly carries: boolean;
  },
  path: string,
): CarriedMap | Open {
  const ready = readySwing(input, task, finish);
  if ('openBecause' in ready) return ready;
  const { plan } = ready;
  const { stance, strideTime } = plan.stride;
  const pace = 1 / strideTime;
  const more = { strideTime, finish, ...(full !== undefined && { full }), path };
  if (part === 'swing') {
    const map = swingMap({ ...plan, ...more, stance });
    if (!carries) return { map, sign: 1, scale: 1, pace };
    return { map: { ...map, torque: swingTorque(plan, pace, swungLeg(input)) }, sign: 1, scale: 1, pace };
  }
  const thigh = plan.thigh.map((x) => -x);
  const back = swingMap({ ...plan, ...more, thigh, stance: turnOf(thigh) });
  return { map: back, sign: -1, scale: 1 / stance, pace };
}

/** Whether a joint of a state that a phase leads asks for the leg’s own weight and inertia ahead. */
const carriesIn = ({ states }: Controller, phase: string): boolean =>
  states.some(
    (state) =>
      state.phase === phase &&
      [state.knee, state.ankle].some((does) => does.kind === 'thigh' && (does.carries ?? 0) > 0),
  );

/** Latest place of the stride at which a thigh that has come forward with the foot's contact may turn back, and steps to look for it. */
const LATEST_TURN = 0.05;
const TURN_STEPS = 50;

/**
 * Place of the stride from which the thigh of stance goes back; 0 where it does at contact. In fast walking it still comes forward by a few
 * tenths of a degree as the foot lands, and tells no phase meanwhile. `thigh`: −θ over the stride.
 */
function turnOf(thigh: Trajectory): number {
  const out = new Float64Array(3);
  for (let k = 0; k < TURN_STEPS; k++) {
    const s = (LATEST_TURN * k) / TURN_STEPS;
    trajectoryAt(thigh, s, out, 0);
    if (out[1] > 0) return s;
  }
  return 0;
}
