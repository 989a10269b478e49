import { sagged } from '../drive/battery.ts';
import type { PhaseShort } from '../drive/shorted-phases.ts';
import { ANGLE } from './leg-angles.ts';
import { ANKLE, HIP_X, HIP_Z, KNEE, TERM, THIGH } from './leg-terms.ts';
import { loneBus, spoilReading } from './room-fault.ts';
import { LOAD, segmentLoad } from './segment-load.ts';
import { GROUND, pressureCentre } from './sole-contact.ts';
import { stopTorque } from './stop-torque.ts';
import { COMMAND, MEASURED } from './walk-controller.ts';
import { COURSE, COURSE_WIDTH } from './walk-course.ts';
import { askCurrent, cutPower, DRIVE, drivePerVolt, drivePower, driveTick } from './walk-drive.ts';
import { LOG, LOG_WIDTH } from './walk-log.ts';
import {
  COUNT,
  type DrivenRoom,
  encoded,
  encodedAgain,
  isDriven,
  KEPT,
  NOISE_DRAWS,
  risen,
  type WalkRoom,
} from './walk-room.ts';
import type { WalkJoint } from './walk-setup.ts';

/**
 * One period of the controller: sensors, controller, the current asked of each loop, bus and heat from the means since the last, one row of
 * the log. A command is asked for whole periods after its sample; the thigh is read whole periods late; angles come in steps of the encoder
 * and their rates by a filtered difference. The bus sags by the mean power of the last period: its capacitor holds it for a millisecond or less.
 */
export function walkTick(room: WalkRoom): void {
  if (isDriven(room)) drivenTick(room);
  else passiveTick(room);
}

/** Without drives nothing is asked of anything: stance is told from swing by the load, and a row is written. */
function passiveTick(room: WalkRoom): void {
  const { q, v, measured, command, ground } = room;
  if (room.count[COUNT.step] > 0) {
    const at = room.count[COUNT.row] * LOG_WIDTH;
    writeRow(room);
    if (at + LOG_WIDTH <= room.log.length) {
      room.log[at + LOG.kneeAsked] = Number.NaN;
      room.log[at + LOG.ankleAsked] = Number.NaN;
    }
  }
  measured[MEASURED.thigh] = q[THIGH];
  measured[MEASURED.thighRate] = v[THIGH];
  const shank = q[THIGH] - q[KNEE];
  measured[MEASURED.load] = ground[GROUND.up] * Math.cos(shank) - ground[GROUND.forward] * Math.sin(shank);
  room.controller.tick(measured, command);
}

// Each part of a tick takes the room alone: numbers that go from one function to another cost an object each.

function drivenTick(room: DrivenRoom): void {
  const { measured, kept, fault, count } = room;
  const tick = count[COUNT.tick]++;
  if (tick > 0) {
    drawnPower(room);
    busAfter(room, tick);
    writeRow(room);
    warmed(room);
  }
  readJoints(room, tick);
  thighAndLoad(room, tick);
  if (fault !== undefined) {
    spoilReading(fault, measured, tick);
    if (tick === fault.from && fault.of.kind === 'power') kept[KEPT.lost] = 1;
    if (tick === fault.from && fault.of.kind === 'hot') {
      room.kneeDrive[DRIVE.winding] = fault.of.winding;
      room.ankleDrive[DRIVE.winding] = fault.of.winding;
    }
  }
  if (kept[KEPT.lost] === 1) {
    withoutPower(room);
    return;
  }
  room.controller.tick(measured, room.command);
  askDrives(room);
}

/** Angles in steps of the encoders, and their rates by filtered differences. */
function readJoints({ setup, q, measured, kept }: DrivenRoom, tick: number): void {
  const { filterPole, period } = setup;
  const knee = encoded(setup.knee, q[KNEE]);
  const ankle = encoded(setup.ankle, q[ANKLE]);
  if (tick > 0) {
    const through = (1 - filterPole) / period;
    measured[MEASURED.kneeRate] =
      filterPole * measured[MEASURED.kneeRate] + through * (knee - kept[KEPT.knee]);
    measured[MEASURED.ankleRate] =
      filterPole * measured[MEASURED.ankleRate] + through * (ankle - kept[KEPT.ankle]);
  }
  kept[KEPT.knee] = knee;
  kept[KEPT.ankle] = ankle;
  measured[MEASURED.knee] = knee;
  measured[MEASURED.ankle] = ankle;
  measured[MEASURED.kneeSecond] = encodedAgain(setup.knee, q[KNEE]);
  measured[MEASURED.ankleSecond] = encodedAgain(setup.ankle, q[ANKLE]);
}

/** The thigh as it was whole periods ago, the load, and what the electronics know of themselves. */
function thighAndLoad(room: DrivenRoom, tick: number): void {
  const { q, v, angles, measured, thighs, ground, kept, noise, kneeDrive, ankleDrive, count } = room;
  const latest = count[COUNT.thigh];
  thighs[latest] = q[THIGH];
  thighs[latest + 1] = v[THIGH];
  const oldest = latest + 2 === thighs.length ? 0 : latest + 2;
  count[COUNT.thigh] = oldest;
  const draw = tick % NOISE_DRAWS;
  measured[MEASURED.thigh] = thighs[oldest];
  measured[MEASURED.thighRate] = thighs[oldest + 1] + noise[draw];
  measured[MEASURED.load] =
    ground[GROUND.up] * angles[ANGLE.shankCos] -
    ground[GROUND.forward] * angles[ANGLE.shankSin] +
    noise[NOISE_DRAWS + draw];
  measured[MEASURED.kneeWinding] = kneeDrive[DRIVE.winding];
  measured[MEASURED.ankleWinding] = ankleDrive[DRIVE.winding];
  measured[MEASURED.bus] = kept[KEPT.volts];
}

/** What was commanded goes on its way, and what arrives now is asked of the drives. */
function askDrives({ setup, v, command, due, kept, kneeDrive, ankleDrive, count }: DrivenRoom): void {
  const latest = count[COUNT.due];
  due[latest] = command[COMMAND.knee];
  due[latest + 1] = command[COMMAND.ankle];
  due[latest + 2] = command[COMMAND.kneeShorted];
  due[latest + 3] = command[COMMAND.ankleShorted];
  // places that no command has reached yet hold 0
  const now = latest + 4 === due.length ? 0 : latest + 4;
  count[COUNT.due] = now;
  if (due[now + 2] === 1) cutPower(kneeDrive, brakeOf(setup.knee));
  else kneeDrive[DRIVE.cut] = 0;
  if (due[now + 3] === 1) cutPower(ankleDrive, brakeOf(setup.ankle));
  else ankleDrive[DRIVE.cut] = 0;
  askCurrent(setup.knee.drive, kneeDrive, due[now], v[KNEE], kept[KEPT.volts]);
  askCurrent(setup.ankle.drive, ankleDrive, due[now + 1], v[ANKLE], kept[KEPT.volts]);
}

/** Ω through which software shorts the phases: those of the loss of power where it shorts them, else straight. */
const brakeOf = ({ lost }: WalkJoint): PhaseShort => (lost === undefined || lost === 'open' ? 0 : lost);

/** Neither bus nor software: the phases do what the hardware does. */
function withoutPower({ setup, command, kneeDrive, ankleDrive }: DrivenRoom): void {
  command[COMMAND.knee] = 0;
  command[COMMAND.ankle] = 0;
  command[COMMAND.mode] = 3;
  command[COMMAND.kneeTarget] = Number.NaN;
  command[COMMAND.ankleTarget] = Number.NaN;
  cutPower(kneeDrive, setup.knee.lost!);
  cutPower(ankleDrive, setup.ankle.lost!);
}

/** Share of the pack's voltage below which the electronics stop, and with them all power. Our own proposal, until the leg file says it. */
const STOPS_BELOW = 0.5;

/** W of each joint and A of both for switching, means of the period that ends. */
function drawnPower({ setup, kept, kneeDrive, ankleDrive }: DrivenRoom): void {
  const { knee, ankle, period } = setup;
  const lost = kept[KEPT.lost] === 1;
  kept[KEPT.kneeWatts] = lost ? 0 : drivePower(knee.drive, kneeDrive, period);
  kept[KEPT.ankleWatts] = lost ? 0 : drivePower(ankle.drive, ankleDrive, period);
  kept[KEPT.perVolt] =
    drivePerVolt(knee.drive, kneeDrive, period) + drivePerVolt(ankle.drive, ankleDrive, period);
}

function warmed({ setup, kneeDrive, ankleDrive }: DrivenRoom): void {
  driveTick(setup.knee.drive, kneeDrive, setup.ambient, setup.period);
  driveTick(setup.ankle.drive, ankleDrive, setup.ambient, setup.period);
}

/** The bus after one more period: sagging, or by itself once its pack has opened; without power where it is too low or too high to live on. */
function busAfter({ setup, kept, fault }: DrivenRoom, tick: number): void {
  const { bus, period } = setup;
  if (kept[KEPT.lost] === 1) {
    kept[KEPT.volts] = 0;
    return;
  }
  const watts = kept[KEPT.kneeWatts] + kept[KEPT.ankleWatts];
  const perVolt = kept[KEPT.perVolt];
  // a fault of this tick acts on the period that begins with it
  const acts = fault !== undefined && tick > fault.from;
  if (acts && fault.of.kind === 'pack') {
    const volts = loneBus(bus!, kept[KEPT.volts], watts, perVolt, period);
    kept[KEPT.volts] = volts;
    if (
      volts < STOPS_BELOW * setup.supply.openCircuitVoltage ||
      volts > (bus!.overVoltage ?? Number.POSITIVE_INFINITY)
    )
      kept[KEPT.lost] = 1;
    return;
  }
  const supply = acts ? fault.supply : setup.supply;
  const top = supply.openCircuitVoltage + supply.resistance * supply.chargeLimit;
  kept[KEPT.volts] = Math.min(top, sagged(supply, watts, perVolt));
}

/** The ground's load on the foot: written anew before each use. */
const load = { forward: 0, up: 0, aboutHip: 0 };

/** State and forces of the last step, with what was commanded a period ago. */
const writeRow = (() => {
  // places in a scope of their own, as in `driveStep`
  const AT = LOG;
  const JOINT = DRIVE;
  return function writeRow(room: WalkRoom): void {
    const {
      setup,
      course,
      chain,
      angles,
      q,
      v,
      a,
      force,
      needed,
      terms,
      ground,
      socket,
      works,
      kneeDrive,
      ankleDrive,
      command,
      kept,
      log,
    } = room;
    const at = room.count[COUNT.row] * LOG_WIDTH;
    if (at + LOG_WIDTH > log.length) return;
    const n = room.count[COUNT.step];
    const place = (room.first + n) % course.steps;
    const own = place * COURSE_WIDTH;
    if (setup.socket !== undefined) {
      load.forward = ground[GROUND.forward];
      load.up = ground[GROUND.up];
      load.aboutHip = ground[GROUND.aboutHip];
      segmentLoad(setup.socket, angles, v, a, load, socket);
    }
    log[at + AT.time] = n * room.step;
    log[at + AT.place] = course.table[own + COURSE.place];
    log[at + AT.mode] = command[COMMAND.mode];
    log[at + AT.phase] = command[COMMAND.phase];
    log[at + AT.height] = q[HIP_Z];
    log[at + AT.thigh] = q[THIGH];
    log[at + AT.knee] = q[KNEE];
    log[at + AT.ankle] = q[ANKLE];
    log[at + AT.heightRate] = v[HIP_Z];
    log[at + AT.thighRate] = v[THIGH];
    log[at + AT.kneeRate] = v[KNEE];
    log[at + AT.ankleRate] = v[ANKLE];
    log[at + AT.ownThigh] = course.table[own + COURSE.thigh];
    let [higher, rising] = [0, 0];
    if (setup.terrain !== undefined) [higher, rising] = risen(room);
    log[at + AT.ownHeight] = course.table[own + COURSE.height] + higher;
    log[at + AT.kneeTarget] = command[COMMAND.kneeTarget];
    log[at + AT.ankleTarget] = command[COMMAND.ankleTarget];
    log[at + AT.kneeAsked] = command[COMMAND.knee];
    log[at + AT.ankleAsked] = command[COMMAND.ankle];
    const kneeStop = stopTorque(setup.knee.stops, q[KNEE], v[KNEE]);
    const ankleStop = stopTorque(setup.ankle.stops, q[ANKLE], v[ANKLE]);
    log[at + AT.kneeTorque] = kneeDrive[JOINT.output] + kneeStop - chain.kneeRotor * a[KNEE];
    log[at + AT.ankleTorque] = ankleDrive[JOINT.output] + ankleStop - chain.ankleRotor * a[ANKLE];
    log[at + AT.kneeCurrent] = kneeDrive[JOINT.current];
    log[at + AT.ankleCurrent] = ankleDrive[JOINT.current];
    log[at + AT.kneeLimit] = kneeDrive[JOINT.limit];
    log[at + AT.ankleLimit] = ankleDrive[JOINT.limit];
    log[at + AT.forward] = ground[GROUND.forward];
    log[at + AT.up] = ground[GROUND.up];
    log[at + AT.pressure] = pressureCentre(ground) - terms[TERM.ankleX];
    log[at + AT.lowest] = ground[GROUND.lowest];
    log[at + AT.forefoot] = ground[GROUND.forefoot];
    // where the thigh is prescribed `force` has none, else `needed` has none
    log[at + AT.hipTorque] = room.prescribed ? needed[THIGH] : force[THIGH] - ground[GROUND.aboutHip];
    log[at + AT.hipForward] = needed[HIP_X];
    log[at + AT.legForward] = needed[HIP_X] - setup.leg.body * a[HIP_X];
    log[at + AT.legUp] = force[HIP_Z] - ground[GROUND.up] - setup.leg.body * (a[HIP_Z] + chain.gravity);
    log[at + AT.socketAlong] = socket[LOAD.along];
    log[at + AT.socketAcross] = socket[LOAD.across];
    log[at + AT.socketMoment] = socket[LOAD.moment];
    log[at + AT.guide] =
      setup.guide.stiffness * (course.table[own + COURSE.height] + higher - q[HIP_Z]) +
      setup.guide.damping * (course.table[own + COURSE.heightRate] + rising - v[HIP_Z]);
    log[at + AT.other] = course.table[own + COURSE.other];
    log[at + AT.busVoltage] = kept[KEPT.volts];
    log[at + AT.kneePower] = kept[KEPT.kneeWatts];
    log[at + AT.anklePower] = kept[KEPT.ankleWatts];
    log[at + AT.busPerVolt] = kept[KEPT.perVolt];
    log[at + AT.kneeWinding] = kneeDrive[JOINT.winding];
    log[at + AT.ankleWinding] = ankleDrive[JOINT.winding];
    log[at + AT.kneeHousing] = kneeDrive[JOINT.housing];
    log[at + AT.ankleHousing] = ankleDrive[JOINT.housing];
    log[at + AT.kneeCopper] = (1.5 * kneeDrive[JOINT.resistance] * kneeDrive[JOINT.square]) / setup.period;
    log[at + AT.ankleCopper] = (1.5 * ankleDrive[JOINT.resistance] * ankleDrive[JOINT.square]) / setup.period;
    log[at + AT.fault] = command[COMMAND.fault];
    for (let k = 0; k < works.length; k++) log[at + AT.works + k] = works[k];
    room.count[COUNT.row]++;
  };
})();
