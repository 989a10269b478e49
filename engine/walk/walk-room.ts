import { randomStream } from '../numeric/random.ts';
import { Fault } from '../quantity/fault.ts';
import { laidOut } from './laid-out.ts';
import { legAngles } from './leg-angles.ts';
import { type LegChain, legChain } from './leg-chain.ts';
import { ANKLE, COORDINATES, HIP_X, HIP_Z, KNEE, legTerms, legTermsRoom, THIGH } from './leg-terms.ts';
import { passiveState } from './passive-joint.ts';
import { type RoomFault, roomFault } from './room-fault.ts';
import { belowCut, loadRoom } from './segment-load.ts';
import { anchorsOf, groundRoom } from './sole-contact.ts';
import type { Terrain } from './terrain.ts';
import { COMMAND_SIZE, MEASURED, MEASURED_SIZE, type WalkController } from './walk-controller.ts';
import { COURSE, COURSE_WIDTH, pacedCourse, type WalkCourse, walkCourse } from './walk-course.ts';
import { DRIVE, driveState } from './walk-drive.ts';
import type { WalkFault } from './walk-fault.ts';
import { LOG_WIDTH, WORKS } from './walk-log.ts';
import type { PassiveSetup, WalkJoint, WalkPassiveJoint, WalkSetup } from './walk-setup.ts';

/** Places of what is kept from step to step beside the state. */
export const KEPT = {
  /** J: energy at the start, sum of works, worst residual, moved. */
  start: 0,
  sum: 1,
  worst: 2,
  moved: 3,
  /** V on the bus. */
  volts: 4,
  /** Encoder angles of the last period, rad. */
  knee: 5,
  ankle: 6,
  /** 1: the leg has no power any more. */
  lost: 7,
  /** W that each joint drew in the last period, mean, without switching; A of both for switching. */
  kneeWatts: 8,
  ankleWatts: 9,
  perVolt: 10,
} as const;

/** Places of what is counted; and in `due` and `thighs`, where the next is written. */
export const COUNT = { step: 0, row: 1, tick: 2, due: 3, thigh: 4 } as const;

/** A walk under way: everything is made once and then only written into. */
export interface WalkRoom<S = WalkSetup | PassiveSetup> {
  readonly setup: S;
  readonly course: WalkCourse;
  readonly chain: LegChain;
  readonly controller: WalkController;
  readonly prescribed: boolean;
  /** N·m/rad, N·m·s/rad of the hip that leads the thigh; 0 where it is prescribed. */
  readonly hipStiffness: number;
  readonly hipDamping: number;
  /** s; steps a period. */
  readonly step: number;
  readonly perTick: number;
  /** Of the ground backwards, and of the leg forwards, m/s. */
  readonly belt: number;
  readonly carried: number;
  /** Step of the course at the start. */
  readonly first: number;
  readonly q: Float64Array;
  readonly v: Float64Array;
  readonly a: Float64Array;
  readonly force: Float64Array;
  readonly needed: Float64Array;
  readonly terms: Float64Array;
  /** Those of `legAngles` for q as it stands; the steps turn them on. */
  readonly angles: Float64Array;
  readonly ground: Float64Array;
  readonly socket: Float64Array;
  /** Numbers of what hangs below it; undefined: not known where it ends. */
  readonly belowSocket: Float64Array | undefined;
  readonly anchors: Float64Array;
  /** State of each joint. */
  readonly kneeDrive: Float64Array;
  readonly ankleDrive: Float64Array;
  readonly measured: Float64Array;
  readonly command: Float64Array;
  /** On their way: torques and whether phases are shorted, four numbers a period; thigh angle and rate, two. */
  readonly due: Float64Array;
  readonly thighs: Float64Array;
  /** W of the last step, and J since the start, in the order of WORKS. */
  readonly power: Float64Array;
  readonly works: Float64Array;
  readonly kept: Float64Array;
  readonly count: Int32Array;
  readonly log: Float64Array;
  /** Draws of the sensors' noise, round and round: of the thigh's rate, then of the load. */
  readonly noise: Float64Array;
  /** What goes wrong; left out: nothing. */
  readonly fault?: RoomFault;
}

/** The room of a driven leg. */
export type DrivenRoom = WalkRoom<WalkSetup>;
export const isDriven = (room: WalkRoom): room is DrivenRoom => 'supply' in room.setup;

/** Draws of each sensor's noise before they begin again. Our choice: 4 s at 1 ms, so that no two strides in a row have the same. */
export const NOISE_DRAWS = 4096;

function noiseOf({ noise }: Pick<WalkSetup, 'noise'>): Float64Array {
  const draws = new Float64Array(2 * NOISE_DRAWS);
  if (noise === undefined) return draws;
  const { normal } = randomStream(noise.seed);
  for (let i = 0; i < NOISE_DRAWS; i++) draws[i] = noise.thighRate * normal();
  for (let i = NOISE_DRAWS; i < draws.length; i++) draws[i] = noise.load * normal();
  return draws;
}

/** By how much the ground that the hip follows is higher than at the start, m, and how fast it rises under it, m/s. */
export function risen({ setup, q, v, belt, count, step }: WalkRoom): readonly [height: number, rate: number] {
  if (setup.terrain === undefined) return [0, 0];
  const out = new Float64Array(2);
  setup.terrain.lift(q[HIP_X] + belt * count[COUNT.step] * step, out);
  return [out[0], out[1] * (v[HIP_X] + belt)];
}

/** Angle as the encoder that closes the loop gives it, rad at the joint: the rotor's, or the joint's own `angle`. */
export function encoded({ encoderStep, encoderAt }: WalkJoint, angle: number, drive: Float64Array): number {
  const seen = encoderAt === 'motor' ? drive[DRIVE.rotor] : angle;
  return encoderStep > 0 ? encoderStep * Math.round(seen / encoderStep) : seen;
}

/** The same angle by the joint's second encoder; NaN without one. */
export const encodedAgain = ({ secondStep }: WalkJoint, angle: number): number =>
  secondStep === undefined ? Number.NaN : secondStep * Math.round(angle / secondStep);

/** Numbers that the log of so many strides takes, or of so many parts of a way, with a row to spare in each. */
export const logSize = (strideTime: number, period: number, strides: number): number =>
  (Math.ceil(strideTime / period) + 1) * strides * LOG_WIDTH;

/** A walk before its first step, the leg where the reference is at 80 % of its stride. `used`: a log that may be written over. Fault: a step that does not divide the period. */
export function walkRoom<S extends WalkSetup | PassiveSetup>(
  of: S,
  step: number,
  strides: number,
  used?: Float64Array,
): WalkRoom<S> {
  const setup = laidOut(of);
  const { period } = setup;
  const perTick = Math.round(period / step);
  if (!(step > 0) || Math.abs(perTick * step - period) > 1e-9 * period) {
    throw new Fault({
      code: 'walk.step',
      what: `A step of ${1e3 * step} ms does not divide the controller’s period of ${1e3 * period} ms`,
      mend: `Take a whole part of the period, such as ${(1e3 * period) / 10} ms`,
    });
  }
  const { pace } = setup;
  if (pace !== undefined && 'rows' in setup.course) {
    throw new Fault({
      code: 'walk.pace',
      what: 'A walk with a way of its own has its own pace',
      mend: 'Leave out `pace`',
    });
  }
  if (pace !== undefined && pace[0]?.share !== 1) {
    throw new Fault({
      code: 'walk.pace',
      what: 'A walk begins in the middle of a swing, at its own pace',
      mend: 'Begin the pace with a share of 1',
    });
  }
  if (pace !== undefined && setup.ground === 'treadmill') {
    throw new Fault({
      code: 'walk.pace',
      what: 'A walk of changing pace goes overground: a belt that speeds up is another matter',
      mend: 'Write `ground: overground`',
    });
  }
  if (setup.terrain?.lean !== undefined && setup.ground === 'treadmill') {
    throw new Fault({
      code: 'walk.slope-begins',
      what: 'A belt whose slope begins under way is not modelled',
      mend: 'Write `ground: overground`',
    });
  }
  const course = leaning(courseOf(setup, step, strides), setup.terrain);
  const belt = setup.ground === 'treadmill' ? course.speed : 0;
  const hip = setup.thigh === 'prescribed' ? { stiffness: 0, damping: 0 } : setup.thigh;
  const size = logSize(course.perStride * step, period, strides);
  if (used !== undefined && used.length < size)
    throw new RangeError(`a log of ${strides} strides takes ${size} numbers, not ${used.length}`);
  const driven = drivenOf(setup);
  const room: WalkRoom<S> = {
    setup,
    course,
    chain: legChain(setup.leg),
    controller: setup.controller(),
    prescribed: setup.thigh === 'prescribed',
    hipStiffness: hip.stiffness,
    hipDamping: hip.damping,
    step,
    perTick,
    belt,
    carried: course.whole ? 0 : course.speed - belt,
    first: course.first,
    q: new Float64Array(COORDINATES),
    v: new Float64Array(COORDINATES),
    a: new Float64Array(COORDINATES),
    force: new Float64Array(COORDINATES),
    needed: new Float64Array(COORDINATES),
    terms: legTermsRoom(),
    angles: new Float64Array(9),
    ground: groundRoom(),
    socket: loadRoom().fill(Number.NaN),
    belowSocket: setup.socket && belowCut(setup.socket),
    anchors: anchorsOf(setup.sole),
    kneeDrive: stateOf(setup.knee, step, period, driven),
    ankleDrive: stateOf(setup.ankle, step, period, driven),
    measured: new Float64Array(MEASURED_SIZE),
    command: new Float64Array(COMMAND_SIZE),
    due: new Float64Array(4 * ((driven?.delayPeriods ?? 0) + 1)),
    thighs: new Float64Array(2 * ((driven?.thighDelayPeriods ?? 0) + 1)),
    power: new Float64Array(WORKS.length),
    works: new Float64Array(WORKS.length),
    kept: new Float64Array(11),
    count: new Int32Array(5),
    log: used ?? new Float64Array(size),
    noise: noiseOf(driven ?? {}),
    ...(driven?.fault && { fault: roomFault(driven.fault, driven) }),
  };
  begin(room);
  return room;
}

/**
 * The same walk, to go on by itself from here with a fault: nothing that either does reaches the other. It keeps no log. Fault: a controller
 * that cannot be copied.
 */
export function copyRoom(room: DrivenRoom, fault: WalkFault): DrivenRoom {
  const controller = room.controller.copy?.();
  if (controller === undefined) {
    throw new Fault({
      code: 'walk.no-copy',
      what: 'This controller cannot go on twice from one place',
      mend: 'Begin a walk of its own with the fault',
    });
  }
  const written = Object.fromEntries(WRITTEN.map((key) => [key, room[key].slice()])) as Pick<
    WalkRoom,
    (typeof WRITTEN)[number]
  >;
  return {
    ...room,
    ...written,
    controller,
    count: room.count.slice(),
    log: new Float64Array(0),
    fault: roomFault(fault, room.setup),
  };
}

/** All that a walk writes into, counts and log aside. */
const WRITTEN = [
  'q',
  'v',
  'a',
  'force',
  'needed',
  'terms',
  'angles',
  'ground',
  'socket',
  'anchors',
  'kneeDrive',
  'ankleDrive',
  'measured',
  'command',
  'due',
  'thighs',
  'power',
  'works',
  'kept',
] as const satisfies readonly (keyof WalkRoom)[];

/** Ground that leans the leg from some place on is walked along, not stride by stride. */
function courseOf(
  { course, pace, terrain }: WalkSetup | PassiveSetup,
  step: number,
  strides: number,
): WalkCourse {
  if ('rows' in course) return course.rows(step);
  if (pace === undefined && terrain?.lean === undefined) return walkCourse(course, step);
  return pacedCourse(course, step, strides, pace ?? [{ at: 0, share: 1 }]);
}

/** The course of a leg that is turned against the vertical as a whole: θ + γ(x), θ̇ + γ′·ẋ, θ̈ + γ″·ẋ² + γ′·ẍ. */
function leaning(course: WalkCourse, terrain: Terrain | undefined): WalkCourse {
  if (terrain === undefined || (terrain.tilt === 0 && terrain.lean === undefined)) return course;
  const table = course.table.slice();
  const out = Float64Array.of(terrain.tilt, 0, 0);
  for (let at = 0; at < table.length; at += COURSE_WIDTH) {
    terrain.lean?.(table[at + COURSE.x], out);
    const rate = table[at + COURSE.xRate];
    table[at + COURSE.thigh] += out[0];
    table[at + COURSE.thighRate] += out[1] * rate;
    table[at + COURSE.thighAcceleration] += out[2] * rate * rate + out[1] * table[at + COURSE.xAcceleration];
  }
  return { ...course, table };
}

const drivenOf = (setup: WalkSetup | PassiveSetup): WalkSetup | undefined =>
  'supply' in setup ? setup : undefined;

function stateOf(
  joint: WalkJoint | WalkPassiveJoint,
  step: number,
  period: number,
  air?: Pick<WalkSetup, 'ambient' | 'temperature'>,
): Float64Array {
  if (!('drive' in joint) || air === undefined) return passiveState();
  const state = driveState(joint.drive, air.temperature, step, period);
  state[DRIVE.ambient] = air.ambient;
  return state;
}

/** What a leg without drives has not. */
const OF_THE_BUS = [KEPT.volts, KEPT.kneeWatts, KEPT.ankleWatts, KEPT.perVolt];

function begin(room: WalkRoom): void {
  const { setup, course, chain, controller, carried, first, q, v, a, kept, measured, thighs, terms } = room;
  const { table, strideTime } = course;
  const at = first * COURSE_WIDTH;
  q[HIP_X] = table[at + COURSE.x];
  v[HIP_X] = table[at + COURSE.xRate] + carried;
  a[HIP_X] = table[at + COURSE.xAcceleration];
  q[HIP_Z] = table[at + COURSE.height];
  v[HIP_Z] = table[at + COURSE.heightRate];
  const [higher, rising] = risen(room);
  q[HIP_Z] += higher;
  v[HIP_Z] += rising;
  q[THIGH] = table[at + COURSE.thigh];
  v[THIGH] = table[at + COURSE.thighRate];
  a[THIGH] = table[at + COURSE.thighAcceleration];
  const place = table[at + COURSE.place];
  const knee = setup.knee.reference(place);
  const ankle = setup.ankle.reference(place);
  q[KNEE] = knee.angle;
  v[KNEE] = knee.rate / strideTime;
  q[ANKLE] = ankle.angle;
  v[ANKLE] = ankle.rate / strideTime;
  if ('supply' in setup) {
    kept[KEPT.volts] = setup.supply.openCircuitVoltage;
    // gears not wound up
    for (const [drive, at] of [
      [room.kneeDrive, KNEE],
      [room.ankleDrive, ANKLE],
    ] as const) {
      drive[DRIVE.rotor] = q[at];
      drive[DRIVE.rotorRate] = v[at];
    }
    kept[KEPT.knee] = encoded(setup.knee, q[KNEE], room.kneeDrive);
    kept[KEPT.ankle] = encoded(setup.ankle, q[ANKLE], room.ankleDrive);
  } else for (const place of OF_THE_BUS) kept[place] = Number.NaN;
  for (let i = 0; i < thighs.length; i += 2) thighs.set([q[THIGH], v[THIGH]], i);
  measured[MEASURED.thigh] = q[THIGH];
  measured[MEASURED.thighRate] = v[THIGH];
  measured[MEASURED.knee] = q[KNEE];
  measured[MEASURED.kneeRate] = v[KNEE];
  measured[MEASURED.ankle] = q[ANKLE];
  measured[MEASURED.ankleRate] = v[ANKLE];
  controller.begin(measured, place);
  room.angles.set(legAngles(q));
  legTerms(chain, q, v, terms);
}
