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
    writeRow(room, Number.NaN, Number.NaN, Number.NaN);
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

function drivenTick(room: DrivenRoom): void {
  const { setup, q, v, angles, measured, command, due, thighs, ground, kept } = room;
  const { kneeDrive, ankleDrive, noise, fault } = room;
  const { period, filterPole } = setup;
  const count = Math.round(room.count[COUNT.step] / room.perTick);
  const knee = encoded(setup.knee, q[KNEE]);
  const ankle = encoded(setup.ankle, q[ANKLE]);
  if (count > 0) {
    const through = (1 - filterPole) / period;
    measured[MEASURED.kneeRate] =
      filterPole * measured[MEASURED.kneeRate] + through * (knee - kept[KEPT.knee]);
    measured[MEASURED.ankleRate] =
      filterPole * measured[MEASURED.ankleRate] + through * (ankle - kept[KEPT.ankle]);
    const lost = kept[KEPT.lost] === 1;
    const kneeWatts = lost ? 0 : drivePower(setup.knee.drive, kneeDrive, period);
    const ankleWatts = lost ? 0 : drivePower(setup.ankle.drive, ankleDrive, period);
    const perVolt =
      drivePerVolt(setup.knee.drive, kneeDrive, period) + drivePerVolt(setup.ankle.drive, ankleDrive, period);
    busAfter(room, count, kneeWatts + ankleWatts, perVolt);
    writeRow(room, kneeWatts, ankleWatts, perVolt);
    driveTick(setup.knee.drive, kneeDrive, setup.ambient, period);
    driveTick(setup.ankle.drive, ankleDrive, setup.ambient, period);
  }
  kept[KEPT.knee] = knee;
  kept[KEPT.ankle] = ankle;
  measured[MEASURED.knee] = knee;
  measured[MEASURED.ankle] = ankle;
  measured[MEASURED.kneeSecond] = encodedAgain(setup.knee, q[KNEE]);
  measured[MEASURED.ankleSecond] = encodedAgain(setup.ankle, q[ANKLE]);
  const late = setup.thighDelayPeriods + 1;
  thighs[2 * (count % late)] = q[THIGH];
  thighs[2 * (count % late) + 1] = v[THIGH];
  const oldest = 2 * ((count + 1) % late);
  measured[MEASURED.thigh] = thighs[oldest];
  measured[MEASURED.thighRate] = thighs[oldest + 1] + noise[count % NOISE_DRAWS];
  measured[MEASURED.load] =
    ground[GROUND.up] * angles[ANGLE.shankCos] -
    ground[GROUND.forward] * angles[ANGLE.shankSin] +
    noise[NOISE_DRAWS + (count % NOISE_DRAWS)];
  measured[MEASURED.kneeWinding] = kneeDrive[DRIVE.winding];
  measured[MEASURED.ankleWinding] = ankleDrive[DRIVE.winding];
  measured[MEASURED.bus] = kept[KEPT.volts];
  if (fault !== undefined) {
    spoilReading(fault, measured, count);
    if (count === fault.from && fault.of.kind === 'power') kept[KEPT.lost] = 1;
    if (count === fault.from && fault.of.kind === 'hot') {
      kneeDrive[DRIVE.winding] = fault.of.winding;
      ankleDrive[DRIVE.winding] = fault.of.winding;
    }
  }
  if (kept[KEPT.lost] === 1) {
    withoutPower(room);
    return;
  }
  room.controller.tick(measured, command);
  const wait = setup.delayPeriods + 1;
  const place = 4 * (count % wait);
  due[place] = command[COMMAND.knee];
  due[place + 1] = command[COMMAND.ankle];
  due[place + 2] = command[COMMAND.kneeShorted];
  due[place + 3] = command[COMMAND.ankleShorted];
  // places that no command has reached yet hold 0
  const now = 4 * ((count + 1) % wait);
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

/** The bus after one more period: sagging, or by itself once its pack has opened; without power where it is too low or too high to live on. */
function busAfter({ setup, kept, fault }: DrivenRoom, count: number, watts: number, perVolt: number): void {
  const { bus, period } = setup;
  if (kept[KEPT.lost] === 1) {
    kept[KEPT.volts] = 0;
    return;
  }
  // a fault of this tick acts on the period that begins with it
  const acts = fault !== undefined && count > fault.from;
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

/** State and forces of the last step, with what was commanded a period ago. */
const writeRow = (() => {
  // places in a scope of their own, as in `driveStep`
  const AT = LOG;
  const JOINT = DRIVE;
  return function writeRow(room: WalkRoom, kneeWatts: number, ankleWatts: number, perVolt: number): void {
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
      log,
    } = room;
    const at = room.count[COUNT.row] * LOG_WIDTH;
    if (at + LOG_WIDTH > log.length) return;
    const n = room.count[COUNT.step];
    const place = (room.first + n) % course.steps;
    const own = place * COURSE_WIDTH;
    if (setup.socket !== undefined) {
      const load = {
        forward: ground[GROUND.forward],
        up: ground[GROUND.up],
        aboutHip: ground[GROUND.aboutHip],
      };
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
    const [higher, rising] = risen(room);
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
    log[at + AT.busVoltage] = room.kept[KEPT.volts];
    log[at + AT.kneePower] = kneeWatts;
    log[at + AT.anklePower] = ankleWatts;
    log[at + AT.busPerVolt] = perVolt;
    log[at + AT.kneeWinding] = kneeDrive[JOINT.winding];
    log[at + AT.ankleWinding] = ankleDrive[JOINT.winding];
    log[at + AT.kneeHousing] = kneeDrive[JOINT.housing];
    log[at + AT.ankleHousing] = ankleDrive[JOINT.housing];
    log[at + AT.kneeCopper] = (1.5 * kneeDrive[JOINT.resistance] * kneeDrive[JOINT.square]) / setup.period;
    log[at + AT.ankleCopper] = (1.5 * ankleDrive[JOINT.resistance] * ankleDrive[JOINT.square]) / setup.period;
    log[at + AT.fault] = command[COMMAND.fault];
    log[at + AT.speed] = command[COMMAND.speed];
    for (let k = 0; k < works.length; k++) log[at + AT.works + k] = works[k];
    room.count[COUNT.row]++;
  };
})();
