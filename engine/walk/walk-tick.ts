import { sagged } from '../drive/battery.ts';
import { ANKLE, HIP_X, HIP_Z, KNEE, TERM, THIGH } from './leg-terms.ts';
import { LOAD, segmentLoad } from './segment-load.ts';
import { GROUND, pressureCentre } from './sole-contact.ts';
import { stopTorque } from './stop-torque.ts';
import { COMMAND, MEASURED } from './walk-controller.ts';
import { COURSE, COURSE_WIDTH } from './walk-course.ts';
import { askCurrent, cutPower, DRIVE, drivePerVolt, drivePower, driveTick } from './walk-drive.ts';
import { LOG, LOG_WIDTH } from './walk-log.ts';
import { COUNT, encoded, KEPT, type WalkRoom } from './walk-room.ts';

/**
 * One period of the controller: sensors, controller, the current asked of each loop, bus and heat from the means since the last, one row of
 * the log. A command is asked for whole periods after its sample; the thigh is read whole periods late; angles come in steps of the encoder
 * and their rates by a filtered difference. The bus sags by the mean power of the last period: its capacitor holds it for a millisecond or less.
 */
export function walkTick(room: WalkRoom): void {
  const { setup, q, v, measured, command, due, thighs, ground, kept, kneeDrive, ankleDrive } = room;
  const { period, filterPole, supply } = setup;
  const count = Math.round(room.count[COUNT.step] / room.perTick);
  const knee = encoded(setup.knee, q[KNEE]);
  const ankle = encoded(setup.ankle, q[ANKLE]);
  if (count > 0) {
    const through = (1 - filterPole) / period;
    measured[MEASURED.kneeRate] =
      filterPole * measured[MEASURED.kneeRate] + through * (knee - kept[KEPT.knee]);
    measured[MEASURED.ankleRate] =
      filterPole * measured[MEASURED.ankleRate] + through * (ankle - kept[KEPT.ankle]);
    const kneeWatts = drivePower(setup.knee.drive, kneeDrive, period);
    const ankleWatts = drivePower(setup.ankle.drive, ankleDrive, period);
    const perVolt =
      drivePerVolt(setup.knee.drive, kneeDrive, period) + drivePerVolt(setup.ankle.drive, ankleDrive, period);
    const top = supply.openCircuitVoltage + supply.resistance * supply.chargeLimit;
    kept[KEPT.volts] = Math.min(top, sagged(supply, kneeWatts + ankleWatts, perVolt));
    writeRow(room, kneeWatts, ankleWatts, perVolt);
    driveTick(setup.knee.drive, kneeDrive, setup.ambient, period);
    driveTick(setup.ankle.drive, ankleDrive, setup.ambient, period);
  }
  kept[KEPT.knee] = knee;
  kept[KEPT.ankle] = ankle;
  measured[MEASURED.knee] = knee;
  measured[MEASURED.ankle] = ankle;
  const late = setup.thighDelayPeriods + 1;
  thighs[2 * (count % late)] = q[THIGH];
  thighs[2 * (count % late) + 1] = v[THIGH];
  const oldest = 2 * ((count + 1) % late);
  measured[MEASURED.thigh] = thighs[oldest];
  measured[MEASURED.thighRate] = thighs[oldest + 1];
  const shank = q[THIGH] - q[KNEE];
  measured[MEASURED.load] = ground[GROUND.up] * Math.cos(shank) - ground[GROUND.forward] * Math.sin(shank);
  measured[MEASURED.kneeWinding] = kneeDrive[DRIVE.winding];
  measured[MEASURED.ankleWinding] = ankleDrive[DRIVE.winding];
  measured[MEASURED.bus] = kept[KEPT.volts];
  room.controller.tick(measured, command);
  const wait = setup.delayPeriods + 1;
  due[2 * (count % wait)] = command[COMMAND.knee];
  due[2 * (count % wait) + 1] = command[COMMAND.ankle];
  const cut = setup.powerCut;
  if (cut !== undefined && count * period >= cut.time - 1e-9) {
    if (kneeDrive[DRIVE.cut] === 0) {
      cutPower(kneeDrive, cut.knee);
      cutPower(ankleDrive, cut.ankle);
    }
    return;
  }
  shortOrNot(kneeDrive, command[COMMAND.kneeShorted]);
  shortOrNot(ankleDrive, command[COMMAND.ankleShorted]);
  // places that no command has reached yet hold 0
  const now = 2 * ((count + 1) % wait);
  askCurrent(setup.knee.drive, kneeDrive, due[now], v[KNEE], kept[KEPT.volts]);
  askCurrent(setup.ankle.drive, ankleDrive, due[now + 1], v[ANKLE], kept[KEPT.volts]);
}

/** Phases shorted straight while the controller asks for it, and given back when it asks no more. */
function shortOrNot(state: Float64Array, shorted: number): void {
  if (shorted === 1) cutPower(state, 0);
  else if (state[DRIVE.cut] === 1) state[DRIVE.cut] = 0;
}

/** State and forces of the last step, with what was commanded a period ago. */
function writeRow(room: WalkRoom, kneeWatts: number, ankleWatts: number, perVolt: number): void {
  const {
    setup,
    course,
    chain,
    q,
    v,
    a,
    force,
    needed,
    terms,
    ground,
    socket,
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
    segmentLoad(setup.socket, q, v, a, load, socket);
  }
  log[at + LOG.time] = n * room.step;
  log[at + LOG.place] = place / course.steps;
  log[at + LOG.mode] = command[COMMAND.mode];
  log[at + LOG.phase] = command[COMMAND.phase];
  log[at + LOG.height] = q[HIP_Z];
  log[at + LOG.thigh] = q[THIGH];
  log[at + LOG.knee] = q[KNEE];
  log[at + LOG.ankle] = q[ANKLE];
  log[at + LOG.heightRate] = v[HIP_Z];
  log[at + LOG.thighRate] = v[THIGH];
  log[at + LOG.kneeRate] = v[KNEE];
  log[at + LOG.ankleRate] = v[ANKLE];
  log[at + LOG.ownThigh] = course.table[own + COURSE.thigh];
  log[at + LOG.ownHeight] = course.table[own + COURSE.height];
  log[at + LOG.kneeTarget] = command[COMMAND.kneeTarget];
  log[at + LOG.ankleTarget] = command[COMMAND.ankleTarget];
  log[at + LOG.kneeAsked] = command[COMMAND.knee];
  log[at + LOG.ankleAsked] = command[COMMAND.ankle];
  const kneeStop = stopTorque(setup.knee.stops, q[KNEE], v[KNEE]);
  const ankleStop = stopTorque(setup.ankle.stops, q[ANKLE], v[ANKLE]);
  log[at + LOG.kneeTorque] = kneeDrive[DRIVE.output] + kneeStop - chain.kneeRotor * a[KNEE];
  log[at + LOG.ankleTorque] = ankleDrive[DRIVE.output] + ankleStop - chain.ankleRotor * a[ANKLE];
  log[at + LOG.kneeCurrent] = kneeDrive[DRIVE.current];
  log[at + LOG.ankleCurrent] = ankleDrive[DRIVE.current];
  log[at + LOG.kneeLimit] = kneeDrive[DRIVE.limit];
  log[at + LOG.ankleLimit] = ankleDrive[DRIVE.limit];
  log[at + LOG.forward] = ground[GROUND.forward];
  log[at + LOG.up] = ground[GROUND.up];
  log[at + LOG.pressure] = pressureCentre(ground) - terms[TERM.ankleX];
  log[at + LOG.lowest] = ground[GROUND.lowest];
  log[at + LOG.forefoot] = ground[GROUND.forefoot];
  // where the thigh is prescribed `force` has none, else `needed` has none
  log[at + LOG.hipTorque] = room.prescribed ? needed[THIGH] : force[THIGH] - ground[GROUND.aboutHip];
  log[at + LOG.hipForward] = needed[HIP_X];
  log[at + LOG.legForward] = needed[HIP_X] - setup.leg.body * a[HIP_X];
  log[at + LOG.legUp] = force[HIP_Z] - ground[GROUND.up] - setup.leg.body * (a[HIP_Z] + chain.gravity);
  log[at + LOG.socketAlong] = socket[LOAD.along];
  log[at + LOG.socketAcross] = socket[LOAD.across];
  log[at + LOG.socketMoment] = socket[LOAD.moment];
  log[at + LOG.guide] =
    setup.guide.stiffness * (course.table[own + COURSE.height] - q[HIP_Z]) +
    setup.guide.damping * (course.table[own + COURSE.heightRate] - v[HIP_Z]);
  log[at + LOG.other] = course.table[own + COURSE.other];
  log[at + LOG.busVoltage] = room.kept[KEPT.volts];
  log[at + LOG.kneePower] = kneeWatts;
  log[at + LOG.anklePower] = ankleWatts;
  log[at + LOG.busPerVolt] = perVolt;
  log[at + LOG.kneeWinding] = kneeDrive[DRIVE.winding];
  log[at + LOG.ankleWinding] = ankleDrive[DRIVE.winding];
  log[at + LOG.kneeHousing] = kneeDrive[DRIVE.housing];
  log[at + LOG.ankleHousing] = ankleDrive[DRIVE.housing];
  log[at + LOG.kneeCopper] = (1.5 * kneeDrive[DRIVE.resistance] * kneeDrive[DRIVE.square]) / setup.period;
  log[at + LOG.ankleCopper] = (1.5 * ankleDrive[DRIVE.resistance] * ankleDrive[DRIVE.square]) / setup.period;
  log[at + LOG.fault] = command[COMMAND.fault];
  log.set(room.works, at + LOG.works);
  room.count[COUNT.row]++;
}
