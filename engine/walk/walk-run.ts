import { sagged } from '../drive/battery.ts';
import { Fault } from '../quantity/fault.ts';
import { legChain } from './leg-chain.ts';
import { motionRoom, solveMotion } from './leg-motion.ts';
import { ANKLE, COORDINATES, HIP_X, HIP_Z, KNEE, legTerms, legTermsRoom, TERM, THIGH } from './leg-terms.ts';
import { LOAD, loadRoom, segmentLoad } from './segment-load.ts';
import { anchorsOf, GROUND, groundRoom, pressureCentre, soleContact } from './sole-contact.ts';
import { stopTorque } from './stop-torque.ts';
import { COMMAND, COMMAND_SIZE, MEASURED, MEASURED_SIZE } from './walk-controller.ts';
import { COURSE, COURSE_WIDTH, walkCourse } from './walk-course.ts';
import { askCurrent, DRIVE, drivePerVolt, drivePower, driveState, driveStep, driveTick } from './walk-drive.ts';
import { LOG, LOG_WIDTH, WORKS, type WalkLog } from './walk-log.ts';
import type { WalkJoint, WalkSetup } from './walk-setup.ts';

/** Share of the work moved that the energy balance may miss. Our own proposal. */
export const AUDIT_LIMIT = 5e-3;
/** Stride phase at which a walk begins: the leg in the air, its thigh forward. Our choice. */
const START = 0.8;
/** A leg whose knee bends further than this, rad, or whose hip sinks below this share of its height, has fallen. Our choice. */
const KNEE_GIVES_WAY = 2.4;
const HIP_SINKS = 0.8;

/** A walk that goes on stride by stride. */
export interface OpenWalk {
  /** One stride further; false once it has fallen. */
  readonly stride: () => boolean;
  /** All so far. Fault where the energy does not balance: the step is too large. */
  readonly log: () => WalkLog;
}

/**
 * The leg with its drives, its controller and its wearer, stepped by `step` s: semi-implicit Euler, velocity first.
 *
 *     M·q̈ + h = Q(ground, drives, stops, guide, other leg),   q̇ ← q̇ + dt·q̈,   q ← q + dt·q̇
 *
 * Each step: terms, ground, drives, motion, then the powers of all that does work, by trapezoid against the energy: the balance is worked
 * out at every step. Each period of the controller: sensors, controller, the current it asks of each loop, bus and heat from the means since
 * the last, one row of the log. Hip forward is prescribed; its height is the body's own, under gravity, the other leg's force and a weak
 * guide. The rooms are made once; the steps allocate nothing. No chance in it: the same setup gives the same bytes.
 */
export function openWalk(setup: WalkSetup, step: number, strides: number): OpenWalk {
  const { period, guide, supply } = setup;
  const perTick = Math.round(period / step);
  if (!(step > 0) || Math.abs(perTick * step - period) > 1e-9 * period) {
    throw new Fault({
      code: 'walk.step',
      what: `A step of ${step} s does not divide the controller’s period of ${period} s`,
      mend: `Take ${period / Math.max(1, perTick)} s, or another whole part of the period`,
    });
  }
  const course = walkCourse(setup.course, step);
  const chain = legChain(setup.leg);
  const { table, steps: courseSteps, speed } = course;
  const sole = setup.sole;
  const knee = setup.knee.drive;
  const ankle = setup.ankle.drive;
  const prescribed = setup.thigh === 'prescribed';
  const hip = setup.thigh === 'prescribed' ? { stiffness: 0, damping: 0 } : setup.thigh;
  const free = prescribed ? Int32Array.of(HIP_Z, KNEE, ANKLE) : Int32Array.of(HIP_Z, THIGH, KNEE, ANKLE);
  const belt = setup.ground === 'treadmill' ? speed : 0;
  const carried = speed - belt;
  const follow = [1 - Math.exp(-knee.currentRate * step), 1 - Math.exp(-ankle.currentRate * step)];

  const q = new Float64Array(COORDINATES);
  const v = new Float64Array(COORDINATES);
  const a = new Float64Array(COORDINATES);
  const force = new Float64Array(COORDINATES);
  const needed = new Float64Array(COORDINATES);
  const terms = legTermsRoom();
  const room = motionRoom();
  const ground = groundRoom();
  const socket = loadRoom().fill(Number.NaN);
  const anchors = anchorsOf(sole);
  const kneeDrive = driveState(knee, setup.temperature);
  const ankleDrive = driveState(ankle, setup.temperature);
  const measured = new Float64Array(MEASURED_SIZE);
  const command = new Float64Array(COMMAND_SIZE);
  const power = new Float64Array(WORKS.length);
  const before = new Float64Array(WORKS.length);
  const works = new Float64Array(WORKS.length);
  // commands and thigh angles on their way, one a period
  const due = new Float64Array(2 * (setup.delayPeriods + 1));
  const thighs = new Float64Array(2 * (setup.thighDelayPeriods + 1));
  /** E_0, worst residual, moved, bus V, time of the fall, encoder angles before. */
  const kept = Float64Array.of(Number.NaN, 0, 0, supply.openCircuitVoltage, Number.NaN, 0, 0);
  const [E0, WORST, MOVED, VOLTS, FELL, KNEE_WAS, ANKLE_WAS] = [0, 1, 2, 3, 4, 5, 6];
  const ticksPerStride = Math.ceil((course.strideTime / period) * (1 + 1e-12));
  const log = new Float64Array((ticksPerStride * strides + 2) * LOG_WIDTH);
  const rowsRoom = log.length / LOG_WIDTH;
  let n = 0;
  let rows = 0;
  let why = '';
  const first = Math.round(START * courseSteps);

  const controller = setup.controller();
  place(first);
  for (const [joint, at] of [
    [setup.knee, KNEE],
    [setup.ankle, ANKLE],
  ] as const) {
    const { angle, rate } = joint.reference(first / courseSteps);
    q[at] = angle;
    v[at] = rate / course.strideTime;
  }
  q[HIP_Z] = table[first * COURSE_WIDTH + COURSE.height];
  v[HIP_Z] = table[first * COURSE_WIDTH + COURSE.heightRate];
  q[THIGH] = table[first * COURSE_WIDTH + COURSE.thigh];
  v[THIGH] = table[first * COURSE_WIDTH + COURSE.thighRate];
  kept[KNEE_WAS] = encoded(setup.knee, q[KNEE]);
  kept[ANKLE_WAS] = encoded(setup.ankle, q[ANKLE]);
  measured[MEASURED.kneeRate] = v[KNEE];
  measured[MEASURED.ankleRate] = v[ANKLE];
  for (let i = 0; i < thighs.length; i += 2) thighs.set([q[THIGH], v[THIGH]], i);
  measured[MEASURED.thigh] = q[THIGH];
  measured[MEASURED.thighRate] = v[THIGH];
  measured[MEASURED.knee] = q[KNEE];
  measured[MEASURED.ankle] = q[ANKLE];
  controller.begin(measured, START);
  legTerms(chain, q, v, terms);

  /** Prescribed coordinates at a step of the course. */
  function place(k: number): void {
    const at = (k % courseSteps) * COURSE_WIDTH;
    q[HIP_X] = table[at + COURSE.x] + carried * (k - first) * step;
    v[HIP_X] = table[at + COURSE.xRate] + carried;
    a[HIP_X] = table[at + COURSE.xAcceleration];
    if (!prescribed) return;
    q[THIGH] = table[at + COURSE.thigh];
    v[THIGH] = table[at + COURSE.thighRate];
    a[THIGH] = table[at + COURSE.thighAcceleration];
  }

  /** Sensors, controller, currents, bus, heat. */
  function tick(): void {
    const count = Math.round(n / perTick);
    const pole = setup.filterPole;
    const kneeNow = encoded(setup.knee, q[KNEE]);
    const ankleNow = encoded(setup.ankle, q[ANKLE]);
    measured[MEASURED.knee] = kneeNow;
    measured[MEASURED.ankle] = ankleNow;
    if (count > 0) {
      measured[MEASURED.kneeRate] =
        pole * measured[MEASURED.kneeRate] + ((1 - pole) * (kneeNow - kept[KNEE_WAS])) / period;
      measured[MEASURED.ankleRate] =
        pole * measured[MEASURED.ankleRate] + ((1 - pole) * (ankleNow - kept[ANKLE_WAS])) / period;
    }
    kept[KNEE_WAS] = kneeNow;
    kept[ANKLE_WAS] = ankleNow;
    const late = setup.thighDelayPeriods + 1;
    thighs[2 * (count % late)] = q[THIGH];
    thighs[2 * (count % late) + 1] = v[THIGH];
    const oldest = 2 * ((count + 1) % late);
    measured[MEASURED.thigh] = thighs[oldest];
    measured[MEASURED.thighRate] = thighs[oldest + 1];
    const shank = q[THIGH] - q[KNEE];
    measured[MEASURED.load] =
      ground[GROUND.up] * Math.cos(shank) - ground[GROUND.forward] * Math.sin(shank);
    controller.tick(measured, command);
    const wait = setup.delayPeriods + 1;
    due[2 * (count % wait)] = command[COMMAND.knee];
    due[2 * (count % wait) + 1] = command[COMMAND.ankle];
    const now = 2 * ((count + 1) % wait);
    // before the first command has come through, none is given
    const come = count >= setup.delayPeriods;
    if (count > 0) {
      const watts = drivePower(knee, kneeDrive, period) + drivePower(ankle, ankleDrive, period);
      const perVolt = drivePerVolt(knee, kneeDrive, period) + drivePerVolt(ankle, ankleDrive, period);
      const top = supply.openCircuitVoltage + supply.resistance * supply.chargeLimit;
      kept[VOLTS] = Math.min(top, sagged(supply, watts, perVolt));
      write(watts, perVolt);
      driveTick(knee, kneeDrive, setup.ambient, period);
      driveTick(ankle, ankleDrive, setup.ambient, period);
    }
    askCurrent(knee, kneeDrive, come ? due[now] : 0, v[KNEE], kept[VOLTS]);
    askCurrent(ankle, ankleDrive, come ? due[now + 1] : 0, v[ANKLE], kept[VOLTS]);
  }

  /** One row, of the state as it is and of the forces of the last step. */
  function write(watts: number, perVolt: number): void {
    if (rows >= rowsRoom) return;
    const at = rows * LOG_WIDTH;
    const k = (first + n) % courseSteps;
    if (setup.socket !== undefined) {
      const load = {
        forward: ground[GROUND.forward],
        up: ground[GROUND.up],
        aboutHip: ground[GROUND.aboutHip],
      };
      segmentLoad(setup.socket, q, v, a, load, socket);
    }
    log[at + LOG.time] = n * step;
    log[at + LOG.place] = k / courseSteps;
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
    log[at + LOG.ownThigh] = table[k * COURSE_WIDTH + COURSE.thigh];
    log[at + LOG.ownHeight] = table[k * COURSE_WIDTH + COURSE.height];
    log[at + LOG.kneeTarget] = command[COMMAND.kneeTarget];
    log[at + LOG.ankleTarget] = command[COMMAND.ankleTarget];
    log[at + LOG.kneeAsked] = command[COMMAND.knee];
    log[at + LOG.ankleAsked] = command[COMMAND.ankle];
    log[at + LOG.kneeTorque] =
      kneeDrive[DRIVE.output] + stopTorque(setup.knee.stops, q[KNEE], v[KNEE]) - chain.kneeRotor * a[KNEE];
    log[at + LOG.ankleTorque] =
      ankleDrive[DRIVE.output] +
      stopTorque(setup.ankle.stops, q[ANKLE], v[ANKLE]) -
      chain.ankleRotor * a[ANKLE];
    log[at + LOG.kneeCurrent] = kneeDrive[DRIVE.current];
    log[at + LOG.ankleCurrent] = ankleDrive[DRIVE.current];
    log[at + LOG.kneeLimit] = kneeDrive[DRIVE.limit];
    log[at + LOG.ankleLimit] = ankleDrive[DRIVE.limit];
    log[at + LOG.forward] = ground[GROUND.forward];
    log[at + LOG.up] = ground[GROUND.up];
    log[at + LOG.pressure] = pressureCentre(ground) - terms[TERM.ankleX];
    log[at + LOG.lowest] = ground[GROUND.lowest];
    log[at + LOG.forefoot] = ground[GROUND.forefoot];
    log[at + LOG.hipTorque] = prescribed ? needed[THIGH] : hipTorque();
    log[at + LOG.hipForward] = needed[HIP_X];
    log[at + LOG.legForward] = needed[HIP_X] - setup.leg.body * a[HIP_X];
    log[at + LOG.legUp] =
      force[HIP_Z] - ground[GROUND.up] - setup.leg.body * (a[HIP_Z] + chain.gravity);
    log[at + LOG.socketAlong] = socket[LOAD.along];
    log[at + LOG.socketAcross] = socket[LOAD.across];
    log[at + LOG.socketMoment] = socket[LOAD.moment];
    log[at + LOG.guide] = guideForce(k * COURSE_WIDTH);
    log[at + LOG.other] = table[k * COURSE_WIDTH + COURSE.other];
    log[at + LOG.busVoltage] = kept[VOLTS];
    log[at + LOG.busPower] = watts;
    log[at + LOG.busPerVolt] = perVolt;
    log[at + LOG.kneeWinding] = kneeDrive[DRIVE.winding];
    log[at + LOG.ankleWinding] = ankleDrive[DRIVE.winding];
    log[at + LOG.kneeHousing] = kneeDrive[DRIVE.housing];
    log[at + LOG.ankleHousing] = ankleDrive[DRIVE.housing];
    log[at + LOG.kneeCopper] = (1.5 * kneeDrive[DRIVE.resistance] * kneeDrive[DRIVE.square]) / period;
    log[at + LOG.ankleCopper] = (1.5 * ankleDrive[DRIVE.resistance] * ankleDrive[DRIVE.square]) / period;
    log[at + LOG.fault] = command[COMMAND.fault];
    log.set(works, at + LOG.works);
    log[at + LOG.residual] = terms[TERM.kinetic] + terms[TERM.potential] - kept[E0] - sum(works);
    rows++;
  }

  function guideForce(at: number): number {
    return (
      guide.stiffness * (table[at + COURSE.height] - q[HIP_Z]) +
      guide.damping * (table[at + COURSE.heightRate] - v[HIP_Z])
    );
  }

  function hipTorque(): number {
    const at = ((first + n) % courseSteps) * COURSE_WIDTH;
    return (
      table[at + COURSE.hipMoment] +
      hip.stiffness * (table[at + COURSE.thigh] - q[THIGH]) +
      hip.damping * (table[at + COURSE.thighRate] - v[THIGH])
    );
  }

  function advance(count: number): void {
    let worst = kept[WORST];
    let moved = kept[MOVED];
    let sumOfWorks = sum(works);
    const [kneeFollow, ankleFollow] = follow;
    for (let i = 0; i < count; i++) {
      if (n % perTick === 0) {
        tick();
        if (!standing()) return stop();
      }
      const at = ((first + n) % courseSteps) * COURSE_WIDTH;
      legTerms(chain, q, v, terms);
      const other = table[at + COURSE.other];
      const led = guideForce(at);
      force[HIP_X] = 0;
      force[HIP_Z] = other + led;
      force[THIGH] = 0;
      driveStep(knee, kneeDrive, q[KNEE], v[KNEE], a[KNEE], kneeFollow, step);
      driveStep(ankle, ankleDrive, q[ANKLE], v[ANKLE], a[ANKLE], ankleFollow, step);
      const kneeStop = stopTorque(setup.knee.stops, q[KNEE], v[KNEE]);
      const ankleStop = stopTorque(setup.ankle.stops, q[ANKLE], v[ANKLE]);
      force[KNEE] = kneeDrive[DRIVE.output] + kneeStop;
      force[ANKLE] = ankleDrive[DRIVE.output] + ankleStop;
      let torque = 0;
      if (!prescribed) {
        torque = hipTorque();
        force[THIGH] = torque;
      }
      soleContact(sole, q, v, terms, belt * n * step, belt, anchors, force, ground);
      solveMotion(terms, force, free, a, needed, room);
      if (prescribed) torque = needed[THIGH];

      power[0] = kneeDrive[DRIVE.motorPower] + ankleDrive[DRIVE.motorPower];
      power[1] = kneeDrive[DRIVE.frictionPower] + ankleDrive[DRIVE.frictionPower];
      power[2] = kneeDrive[DRIVE.springPower] + ankleDrive[DRIVE.springPower];
      power[3] = kneeStop * v[KNEE] + ankleStop * v[ANKLE];
      power[4] = torque * v[THIGH];
      power[5] = needed[HIP_X] * v[HIP_X];
      power[6] = led * v[HIP_Z];
      power[7] = other * v[HIP_Z];
      power[8] = ground[GROUND.power];
      const energy = terms[TERM.kinetic] + terms[TERM.potential];
      if (n === 0) kept[E0] = energy;
      else {
        for (let k = 0; k < power.length; k++) {
          const work = 0.5 * step * (before[k] + power[k]);
          works[k] += work;
          sumOfWorks += work;
          moved += work < 0 ? -work : work;
        }
        const residual = energy - kept[E0] - sumOfWorks;
        if (residual > worst) worst = residual;
        else if (-residual > worst) worst = -residual;
      }
      for (let k = 0; k < power.length; k++) before[k] = power[k];

      for (let k = 0; k < free.length; k++) {
        const c = free[k];
        v[c] += step * a[c];
        q[c] += step * v[c];
      }
      n++;
      place(first + n);
    }
    kept[WORST] = worst;
    kept[MOVED] = moved;

    function stop(): void {
      kept[WORST] = worst;
      kept[MOVED] = moved;
      kept[FELL] = n * step;
    }
  }

  /** False, with the reason in words, where it has fallen. */
  function standing(): boolean {
    if (!Number.isFinite(q[HIP_Z] + q[THIGH] + q[KNEE] + q[ANKLE] + command[COMMAND.knee] + command[COMMAND.ankle]))
      why = 'an angle or a command is no number';
    else if (q[KNEE] > KNEE_GIVES_WAY) why = 'the knee gave way';
    else if (q[HIP_Z] < HIP_SINKS * setup.course.hip.height[0]) why = 'the hip sank';
    else return true;
    return false;
  }

  return {
    stride: () => {
      if (why !== '') return false;
      advance(courseSteps);
      return why === '';
    },
    log: () => {
      const [residual, moved] = [kept[WORST], kept[MOVED]];
      if (why === '' && !(residual < AUDIT_LIMIT * moved)) {
        throw new Fault({
          code: 'walk.step-too-large',
          what: `With steps of ${1e3 * step} ms the energy misses ${residual.toPrecision(3)} J of ${moved.toPrecision(3)} J moved, more than ${1e2 * AUDIT_LIMIT} %`,
          mend: `Take a smaller step, such as ${(1e3 * step) / 2} ms`,
        });
      }
      return {
        step,
        period,
        strideTime: course.strideTime,
        speed,
        rows,
        table: log.subarray(0, rows * LOG_WIDTH),
        residual,
        moved,
        ...(why !== '' && { fell: { time: kept[FELL], why } }),
      };
    },
  };
}

const encoded = ({ encoderStep }: WalkJoint, angle: number): number =>
  encoderStep > 0 ? encoderStep * Math.round(angle / encoderStep) : angle;

function sum(x: Float64Array): number {
  let total = 0;
  for (let i = 0; i < x.length; i++) total += x[i];
  return total;
}

/** A whole walk of `strides`. */
export function walkRun(setup: WalkSetup, step: number, strides: number): WalkLog {
  const walk = openWalk(setup, step, strides);
  for (let k = 0; k < strides && walk.stride(); k++);
  return walk.log();
}
