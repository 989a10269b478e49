import type { CompiledController } from '../control/compile-controller.ts';
import { type SwingMap, swingMap, turnedMap } from '../control/swing-map.ts';
import { gaitDemand } from '../gait/demand.ts';
import type { StrideDemand } from '../gait/demand-result.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { StrideTask } from '../gait/task.ts';
import { dataController } from '../walk/data-controller.ts';
import { type PhaseControl, phaseController } from '../walk/phase-controller.ts';
import type { StanceTable } from '../walk/stance-table.ts';
import type { CourseOf } from '../walk/walk-course.ts';
import type { WalkSetup } from '../walk/walk-setup.ts';
import { controlledLeg } from './controlled-leg.ts';
import { type Demands, studyDemands } from './design.ts';
import { legSupply } from './leg-supply.ts';
import { ofBoth } from './of-both.ts';
import type { PlannedWalk } from './planned-walk.ts';
import { sampledDrive } from './sampled-drive.ts';
import { loadsOf } from './stable-stiffness.ts';
import { type StanceSchedule, stanceSchedule } from './stance-schedule.ts';
import type { StudyInput } from './study-input.ts';
import { swingPlan } from './swing-plan.ts';
import { changedController, NO_CHANGE, type WalkChange } from './walk-change.ts';
import { followGains, walkHardware } from './walk-hardware.ts';
import { drivesNothing, walkNeeds } from './walk-needs.ts';
import { softwareTable, stanceTable, stiffestStance } from './walk-stance.ts';
import { WALK, type WearersStride, walkingWearer, wearersStride } from './walk-wearer.ts';

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
  /** Slope of the ground that the controller is told, rad, up ahead positive; left out: it goes by what it reads, where its file says so. */
  readonly told?: number;
  /** Left out: as planned. */
  readonly change?: WalkChange;
}

/** A walk on the level before its first step, with what a reader must know of how it was made. */
export interface WalkPlan extends PlannedWalk<WalkSetup & { readonly course: CourseOf }> {
  readonly knee: StanceSchedule;
  readonly ankle: StanceSchedule;
  /** Stance as the clock asks for it at the joint, and the stride's own motion and moments on this wearer. */
  readonly law: { readonly [joint in DrivenJoint]: StanceTable };
  readonly demand: StrideDemand;
  /** The study's controller as it runs on this leg, where that is what walks. */
  readonly machine?: CompiledController;
}

/** What a walk has before anything is said of motors, gears and controllers: legs that differ in these alone share it. */
interface StrideOnLeg extends WearersStride {
  readonly demand: StrideDemand;
  readonly demands: { readonly demands: Demands };
  readonly map: SwingMap;
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
  const on = wearersStride(input, choice);
  if ('openBecause' in on) return on;
  const { walked } = on;
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
  const demand = gaitDemand(task, strides, input.wearer, input.leg.segments) as StrideDemand;
  const demands = { demands: { [WALK]: demand } };
  const swing = swingPlan({ ...input, strides }, task);
  if ('openBecause' in swing) return swing;
  const map = swingMap({
    thigh: swing.thigh,
    knee: swing.knee,
    ankle: swing.ankle,
    stance: walked.stance,
    strideTime: walked.strideTime,
    finish: true,
    path: `walk at ${choice.speed} m/s`,
  });
  return { ...on, demand, demands, map };
}

/**
 * A walk of the study's leg and wearer at `speed`. The reasons where it cannot be told, field by field.
 *
 * Angles, other leg and hip of the level-walking stride at that speed; its stride time is what these angles on this leg take at `speed`, so
 * that the foot does not slip. Stance by springs and dampers fitted to that stride, swing by the latched thigh map.
 */
export function walkPlan(input: StudyInput, choice: WalkChoice): WalkPlan | Open {
  if (drivesNothing(input.leg))
    return {
      openBecause: 'this leg has no drives: a knee under `joints` and an ankle are what this walk needs',
    };
  const lacks = walkNeeds(input);
  if (lacks.length > 0) return { openBecause: `the leg file lacks what a walk needs: ${lacks.join('; ')}` };
  const supply = legSupply(input.leg);
  if ('openBecause' in supply) return supply;
  const on = strideOnLeg(input, choice);
  if ('openBecause' in on) return on;
  const { walked, regressionTime, demand, demands, map } = on;
  const { change = NO_CHANGE } = choice;
  const walker = walkingWearer(input, on, choice, change.socketFlexion);
  const { stance, strideTime } = walked;
  const asked = demand.joints;
  const hardware = walkHardware(input, supply, on.own);
  const { period } = hardware;
  const sampled = ofBoth((joint) => sampledDrive(input, joint));
  if ('openBecause' in sampled) return sampled;
  const schedules = ofBoth((joint) =>
    stanceSchedule(input, demands, joint, [WALK], stiffestStance(sampled[joint], loadsOf(input, joint))),
  );
  if ('openBecause' in schedules) return schedules;
  const swingGains = ofBoth((joint) => {
    const gains = followGains(input, joint, sampled[joint]);
    if ('openBecause' in gains) return gains;
    const own = change.swing[joint];
    return { stiffness: own.stiffness * gains.stiffness, damping: own.damping * gains.damping };
  });
  if ('openBecause' in swingGains) return swingGains;
  const law = {
    knee: stanceTable(schedules.knee, asked.knee!, sampled.knee, stance, change.stance.knee),
    ankle: stanceTable(schedules.ankle, asked.ankle!, sampled.ankle, stance, change.stance.ankle),
  };
  const software = ofBoth((joint) => softwareTable(law[joint], sampled[joint]));
  if ('openBecause' in software) return software;
  const control: PhaseControl = {
    period,
    strideTime,
    stance,
    weight: on.course.weight,
    ...software,
    swing: turnedMap(map, choice.told ?? 0),
    swingGains,
  };
  const controlled =
    choice.control === 'study'
      ? controlledLeg(input, { demands: studyDemands(input) }, choice.told)
      : undefined;
  if (controlled !== undefined && 'openBecause' in controlled) return controlled;
  const machine = controlled?.compiled;
  const noise = machine === undefined ? undefined : sensorNoise(input, choice.seed ?? 1);
  if (noise !== undefined && 'openBecause' in noise) return noise;
  const setup: WalkPlan['setup'] = {
    ...walker,
    ...hardware,
    controller: () => {
      const planned = machine === undefined ? phaseController(control) : dataController(machine);
      return change === NO_CHANGE ? planned : changedController(planned, change);
    },
    ...(noise && { noise }),
  };
  return {
    setup,
    stride: walked,
    regressionTime,
    ...schedules,
    law,
    demand,
    ...(machine && { machine }),
    notes: on.notes,
  };
}

/** What a controller that watches its sensors must be shown, or it takes a reading that stands still for a stuck one. */
export function sensorNoise(
  { leg: { thighSensor, axialLoad } }: StudyInput,
  seed: number,
): NonNullable<WalkSetup['noise']> | Open {
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
