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
import { askCurrent, cutPower, DRIVE, drivePower, driveTick } from './walk-drive.ts';
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
export const walkTick = (() => {
  // names of its own, in a scope that is entered once: to the compiler they are literals. What stands outside, it looks up and checks at every use
  const POSE = ANGLE;
  const CUT = LOAD;
  const FOOT = GROUND;
  const TOLD = COMMAND;
  const SENSED = MEASURED;
  const HERE = COURSE;
  const WIDTH = COURSE_WIDTH;
  const JOINT = DRIVE;
  const AT = LOG;
  const ROW = LOG_WIDTH;
  const SO_FAR = COUNT;
  const HELD = KEPT;
  const A = ANKLE;
  const X = HIP_X;
  const Z = HIP_Z;
  const K = KNEE;
  const LEG = TERM;
  const H = THIGH;
  const DRAWS = NOISE_DRAWS;

  function walkTick(room: WalkRoom): void {
    if (isDriven(room)) drivenTick(room);
    else passiveTick(room);
  }

  /** Without drives nothing is asked of anything: stance is told from swing by the load, and a row is written. */
  function passiveTick(room: WalkRoom): void {
    const { q, v, measured, command, ground } = room;
    if (room.count[SO_FAR.step] > 0) {
      const at = room.count[SO_FAR.row] * ROW;
      writeRow(room);
      if (at + ROW <= room.log.length) {
        room.log[at + AT.kneeAsked] = Number.NaN;
        room.log[at + AT.ankleAsked] = Number.NaN;
      }
    }
    measured[SENSED.thigh] = q[H];
    measured[SENSED.thighRate] = v[H];
    const shank = q[H] - q[K];
    measured[SENSED.load] = ground[FOOT.up] * Math.cos(shank) - ground[FOOT.forward] * Math.sin(shank);
    room.controller.tick(measured, command);
  }

  // Each part of a tick takes the room alone: numbers that go from one function to another cost an object each.

  function drivenTick(room: DrivenRoom): void {
    const { measured, kept, fault, count } = room;
    const tick = count[SO_FAR.tick]++;
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
      if (tick === fault.from && fault.of.kind === 'power') kept[HELD.lost] = 1;
      if (tick === fault.from && fault.of.kind === 'hot') {
        room.kneeDrive[JOINT.winding] = fault.of.winding;
        room.ankleDrive[JOINT.winding] = fault.of.winding;
      }
    }
    if (kept[HELD.lost] === 1) {
      withoutPower(room);
      return;
    }
    room.controller.tick(measured, room.command);
    askDrives(room);
  }

  /** Angles in steps of the encoders, and their rates by filtered differences. */
  function readJoints(room: DrivenRoom, tick: number): void {
    const { setup, q, measured, kept, kneeDrive, ankleDrive } = room;
    const { filterPole, period } = setup;
    const knee = encoded(setup.knee, q[K], kneeDrive);
    const ankle = encoded(setup.ankle, q[A], ankleDrive);
    if (tick > 0) {
      const through = (1 - filterPole) / period;
      measured[SENSED.kneeRate] = filterPole * measured[SENSED.kneeRate] + through * (knee - kept[HELD.knee]);
      measured[SENSED.ankleRate] =
        filterPole * measured[SENSED.ankleRate] + through * (ankle - kept[HELD.ankle]);
    }
    kept[HELD.knee] = knee;
    kept[HELD.ankle] = ankle;
    measured[SENSED.knee] = knee;
    measured[SENSED.ankle] = ankle;
    measured[SENSED.kneeSecond] = encodedAgain(setup.knee, q[K]);
    measured[SENSED.ankleSecond] = encodedAgain(setup.ankle, q[A]);
  }

  /** The thigh as it was whole periods ago, the load, and what the electronics know of themselves. */
  function thighAndLoad(room: DrivenRoom, tick: number): void {
    const { q, v, angles, measured, thighs, ground, kept, noise, kneeDrive, ankleDrive, count } = room;
    const latest = count[SO_FAR.thigh];
    thighs[latest] = q[H];
    thighs[latest + 1] = v[H];
    const oldest = latest + 2 === thighs.length ? 0 : latest + 2;
    count[SO_FAR.thigh] = oldest;
    const draw = tick % DRAWS;
    measured[SENSED.thigh] = thighs[oldest];
    measured[SENSED.thighRate] = thighs[oldest + 1] + noise[draw];
    measured[SENSED.load] =
      ground[FOOT.up] * angles[POSE.shankCos] -
      ground[FOOT.forward] * angles[POSE.shankSin] +
      noise[DRAWS + draw];
    measured[SENSED.kneeWinding] = kneeDrive[JOINT.winding];
    measured[SENSED.ankleWinding] = ankleDrive[JOINT.winding];
    measured[SENSED.bus] = kept[HELD.volts];
  }

  /** What was commanded goes on its way, and what arrives now is asked of the drives. */
  function askDrives({ setup, command, due, kept, kneeDrive, ankleDrive, count }: DrivenRoom): void {
    const latest = count[SO_FAR.due];
    due[latest] = command[TOLD.knee];
    due[latest + 1] = command[TOLD.ankle];
    due[latest + 2] = command[TOLD.kneeShorted];
    due[latest + 3] = command[TOLD.ankleShorted];
    // places that no command has reached yet hold 0
    const now = latest + 4 === due.length ? 0 : latest + 4;
    count[SO_FAR.due] = now;
    if (due[now + 2] === 1) cutPower(kneeDrive, brakeOf(setup.knee));
    else kneeDrive[JOINT.cut] = 0;
    if (due[now + 3] === 1) cutPower(ankleDrive, brakeOf(setup.ankle));
    else ankleDrive[JOINT.cut] = 0;
    kneeDrive[JOINT.wanted] = due[now];
    kneeDrive[JOINT.bus] = kept[HELD.volts];
    askCurrent(kneeDrive);
    ankleDrive[JOINT.wanted] = due[now + 1];
    ankleDrive[JOINT.bus] = kept[HELD.volts];
    askCurrent(ankleDrive);
  }

  /** Ω through which software shorts the phases: those of the loss of power where it shorts them, else straight. */
  const brakeOf = ({ lost }: WalkJoint): PhaseShort => (lost === undefined || lost === 'open' ? 0 : lost);

  /** Neither bus nor software: the phases do what the hardware does. */
  function withoutPower({ setup, command, kneeDrive, ankleDrive }: DrivenRoom): void {
    command[TOLD.knee] = 0;
    command[TOLD.ankle] = 0;
    command[TOLD.mode] = 3;
    command[TOLD.kneeTarget] = Number.NaN;
    command[TOLD.ankleTarget] = Number.NaN;
    cutPower(kneeDrive, setup.knee.lost!);
    cutPower(ankleDrive, setup.ankle.lost!);
  }

  /** Share of the pack's voltage below which the electronics stop, and with them all power. Our own proposal, until the leg file says it. */
  const STOPS_BELOW = 0.5;

  /** W of each joint and A of both for switching, means of the period that ends. */
  function drawnPower({ setup, kept, kneeDrive, ankleDrive }: DrivenRoom): void {
    drivePower(setup.knee.drive, kneeDrive);
    drivePower(setup.ankle.drive, ankleDrive);
    const lost = kept[HELD.lost] === 1;
    kept[HELD.kneeWatts] = lost ? 0 : kneeDrive[JOINT.watts];
    kept[HELD.ankleWatts] = lost ? 0 : ankleDrive[JOINT.watts];
    kept[HELD.perVolt] = kneeDrive[JOINT.perVolt] + ankleDrive[JOINT.perVolt];
  }

  function warmed({ setup, kneeDrive, ankleDrive }: DrivenRoom): void {
    driveTick(setup.knee.drive, kneeDrive);
    driveTick(setup.ankle.drive, ankleDrive);
  }

  /** The bus after one more period: sagging, or by itself once its pack has opened; without power where it is too low or too high to live on. */
  function busAfter({ setup, kept, fault }: DrivenRoom, tick: number): void {
    const { bus, period } = setup;
    if (kept[HELD.lost] === 1) {
      kept[HELD.volts] = 0;
      return;
    }
    const watts = kept[HELD.kneeWatts] + kept[HELD.ankleWatts];
    const perVolt = kept[HELD.perVolt];
    // a fault of this tick acts on the period that begins with it
    const acts = fault !== undefined && tick > fault.from;
    if (acts && fault.of.kind === 'pack') {
      const volts = loneBus(bus!, kept[HELD.volts], watts, perVolt, period);
      kept[HELD.volts] = volts;
      if (
        volts < STOPS_BELOW * setup.supply.openCircuitVoltage ||
        volts > (bus!.overVoltage ?? Number.POSITIVE_INFINITY)
      )
        kept[HELD.lost] = 1;
      return;
    }
    const supply = acts ? fault.supply : setup.supply;
    const top = supply.openCircuitVoltage + supply.resistance * supply.chargeLimit;
    kept[HELD.volts] = Math.min(top, sagged(supply, watts, perVolt));
  }

  /** The ground's load on the foot: written anew before each use. */
  const load = { forward: 0, up: 0, aboutHip: 0 };

  /** State and forces of the last step, with what was commanded a period ago. */
  function writeRow(room: WalkRoom): void {
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
    const at = room.count[SO_FAR.row] * ROW;
    if (at + ROW > log.length) return;
    const n = room.count[SO_FAR.step];
    const place = (room.first + n) % course.steps;
    const own = place * WIDTH;
    if (room.belowSocket !== undefined) {
      load.forward = ground[FOOT.forward];
      load.up = ground[FOOT.up];
      load.aboutHip = ground[FOOT.aboutHip];
      segmentLoad(room.belowSocket, angles, v, a, load, socket);
    }
    log[at + AT.time] = n * room.step;
    log[at + AT.place] = course.table[own + HERE.place];
    log[at + AT.mode] = command[TOLD.mode];
    log[at + AT.phase] = command[TOLD.phase];
    log[at + AT.height] = q[Z];
    log[at + AT.thigh] = q[H];
    log[at + AT.knee] = q[K];
    log[at + AT.ankle] = q[A];
    log[at + AT.heightRate] = v[Z];
    log[at + AT.thighRate] = v[H];
    log[at + AT.kneeRate] = v[K];
    log[at + AT.ankleRate] = v[A];
    log[at + AT.ownThigh] = course.table[own + HERE.thigh];
    let [higher, rising] = [0, 0];
    if (setup.terrain !== undefined) [higher, rising] = risen(room);
    log[at + AT.ownHeight] = course.table[own + HERE.height] + higher;
    log[at + AT.kneeTarget] = command[TOLD.kneeTarget];
    log[at + AT.ankleTarget] = command[TOLD.ankleTarget];
    log[at + AT.kneeAsked] = command[TOLD.knee];
    log[at + AT.ankleAsked] = command[TOLD.ankle];
    const kneeStop = stopTorque(setup.knee.stops, q[K], v[K]);
    const ankleStop = stopTorque(setup.ankle.stops, q[A], v[A]);
    log[at + AT.kneeTorque] = kneeDrive[JOINT.output] + kneeStop - chain.kneeOutputInertia * a[K];
    log[at + AT.ankleTorque] = ankleDrive[JOINT.output] + ankleStop - chain.ankleOutputInertia * a[A];
    log[at + AT.kneeCurrent] = kneeDrive[JOINT.current];
    log[at + AT.ankleCurrent] = ankleDrive[JOINT.current];
    log[at + AT.kneeLimit] = kneeDrive[JOINT.limit];
    log[at + AT.ankleLimit] = ankleDrive[JOINT.limit];
    log[at + AT.forward] = ground[FOOT.forward];
    log[at + AT.up] = ground[FOOT.up];
    log[at + AT.pressure] = pressureCentre(ground) - terms[LEG.ankleX];
    log[at + AT.lowest] = ground[FOOT.lowest];
    log[at + AT.forefoot] = ground[FOOT.forefoot];
    // where the thigh is prescribed `force` has none, else `needed` has none
    log[at + AT.hipTorque] = room.prescribed ? needed[H] : force[H] - ground[FOOT.aboutHip];
    log[at + AT.hipForward] = needed[X];
    log[at + AT.legForward] = needed[X] - setup.leg.body * a[X];
    log[at + AT.legUp] = force[Z] - ground[FOOT.up] - setup.leg.body * (a[Z] + chain.gravity);
    log[at + AT.socketAlong] = socket[CUT.along];
    log[at + AT.socketAcross] = socket[CUT.across];
    log[at + AT.socketMoment] = socket[CUT.moment];
    log[at + AT.guide] =
      setup.guide.stiffness * (course.table[own + HERE.height] + higher - q[Z]) +
      setup.guide.damping * (course.table[own + HERE.heightRate] + rising - v[Z]);
    log[at + AT.other] = course.table[own + HERE.other];
    log[at + AT.busVoltage] = kept[HELD.volts];
    log[at + AT.kneePower] = kept[HELD.kneeWatts];
    log[at + AT.anklePower] = kept[HELD.ankleWatts];
    log[at + AT.busPerVolt] = kept[HELD.perVolt];
    log[at + AT.kneeWinding] = kneeDrive[JOINT.winding];
    log[at + AT.ankleWinding] = ankleDrive[JOINT.winding];
    log[at + AT.kneeHousing] = kneeDrive[JOINT.housing];
    log[at + AT.ankleHousing] = ankleDrive[JOINT.housing];
    log[at + AT.kneeCopper] = (1.5 * kneeDrive[JOINT.resistance] * kneeDrive[JOINT.square]) / setup.period;
    log[at + AT.ankleCopper] = (1.5 * ankleDrive[JOINT.resistance] * ankleDrive[JOINT.square]) / setup.period;
    log[at + AT.fault] = command[TOLD.fault];
    log[at + AT.speed] = command[TOLD.speed];
    log[at + AT.slope] = command[TOLD.slope];
    log[at + AT.kneeChanges] = kneeDrive[JOINT.changes];
    log[at + AT.ankleChanges] = ankleDrive[JOINT.changes];
    log[at + AT.kneeMeeting] = kneeDrive[JOINT.meeting] * kneeDrive[JOINT.perMeeting];
    log[at + AT.ankleMeeting] = ankleDrive[JOINT.meeting] * ankleDrive[JOINT.perMeeting];
    log[at + AT.works] = works[0];
    log[at + AT.works + 1] = works[1];
    log[at + AT.works + 2] = works[2];
    log[at + AT.works + 3] = works[3];
    log[at + AT.works + 4] = works[4];
    log[at + AT.works + 5] = works[5];
    log[at + AT.works + 6] = works[6];
    log[at + AT.works + 7] = works[7];
    log[at + AT.works + 8] = works[8];
    room.count[SO_FAR.row]++;
  }

  return walkTick;
})();
