import { walkMotion } from './leg-motion.ts';
import { ANKLE, HIP_X, HIP_Z, KNEE, legTerms, TERM, THIGH } from './leg-terms.ts';
import { passiveStep } from './passive-joint.ts';
import { GROUND, soleContact } from './sole-contact.ts';
import { stopTorque } from './stop-torque.ts';
import { COURSE, COURSE_WIDTH } from './walk-course.ts';
import { DRIVE, driveStep } from './walk-drive.ts';
import { COUNT, KEPT, type WalkRoom } from './walk-room.ts';

/**
 * `steps` steps of the leg with its drives and its wearer: semi-implicit Euler, velocity first.
 *
 *     M·q̈ + h = Q(ground, drives, stops, guide, other leg, hip),   q̇ ← q̇ + dt·q̈,   q ← q + dt·q̇
 *
 * Each step: terms, drives or what stands in their place, ground, motion, then the powers of all that does work, by trapezoid against the energy:
 *
 *     r = E − E_0 − Σ ∫P dt
 *
 * so that the balance is worked out at every step. Nothing is allocated within one.
 */
export function walkSteps(room: WalkRoom, steps: number): void {
  const { setup, course, chain, prescribed, step, belt, carried, first, hipStiffness, hipDamping } = room;
  const { q, v, a, force, needed, terms, ground, anchors, kneeDrive, ankleDrive, power, works, kept } = room;
  const { sole, terrain } = setup;
  const lift = new Float64Array(2);
  const { table } = course;
  const courseSteps = course.steps;
  const { knee, ankle } = setup;
  const kneeMoves = 'drive' in knee ? knee.drive : undefined;
  const ankleMoves = 'drive' in ankle ? ankle.drive : undefined;
  const kneePassive = 'drive' in knee ? undefined : knee.passive;
  const anklePassive = 'drive' in ankle ? undefined : ankle.passive;
  const kneeStops = setup.knee.stops;
  const ankleStops = setup.ankle.stops;
  const guideStiffness = setup.guide.stiffness;
  const guideDamping = setup.guide.damping;
  const { kneeFollow, ankleFollow } = room;
  const half = step / 2;
  let n = room.count[COUNT.step];
  let at = ((first + n) % courseSteps) * COURSE_WIDTH;
  const end = courseSteps * COURSE_WIDTH;
  let start = kept[KEPT.start];
  let sum = kept[KEPT.sum];
  let worst = kept[KEPT.worst];
  let moved = kept[KEPT.moved];
  for (let i = 0; i < steps; i++) {
    legTerms(chain, q, v, terms);
    if (kneePassive !== undefined) passiveStep(kneePassive, kneeDrive, q[KNEE], v[KNEE]);
    else driveStep(kneeMoves!, kneeDrive, q[KNEE], v[KNEE], a[KNEE], kneeFollow, step);
    if (anklePassive !== undefined) passiveStep(anklePassive, ankleDrive, q[ANKLE], v[ANKLE]);
    else driveStep(ankleMoves!, ankleDrive, q[ANKLE], v[ANKLE], a[ANKLE], ankleFollow, step);
    const kneeStop = stopTorque(kneeStops, q[KNEE], v[KNEE]);
    const ankleStop = stopTorque(ankleStops, q[ANKLE], v[ANKLE]);
    if (terrain !== undefined) terrain.lift(q[HIP_X] + belt * n * step, lift);
    const led =
      guideStiffness * (table[at + COURSE.height] + lift[0] - q[HIP_Z]) +
      guideDamping * (table[at + COURSE.heightRate] + lift[1] * (v[HIP_X] + belt) - v[HIP_Z]);
    const other = table[at + COURSE.other];
    const hip = prescribed
      ? 0
      : table[at + COURSE.hipMoment] +
        hipStiffness * (table[at + COURSE.thigh] - q[THIGH]) +
        hipDamping * (table[at + COURSE.thighRate] - v[THIGH]);
    force[HIP_X] = 0;
    force[HIP_Z] = led + other;
    force[THIGH] = hip;
    force[KNEE] = kneeDrive[DRIVE.output] + kneeStop;
    force[ANKLE] = ankleDrive[DRIVE.output] + ankleStop;
    soleContact(sole, q, v, terms, belt * n * step, belt, anchors, force, ground, terrain);
    walkMotion(terms, force, prescribed, a, needed);

    const p0 = kneeDrive[DRIVE.motorPower] + ankleDrive[DRIVE.motorPower];
    const p1 = kneeDrive[DRIVE.frictionPower] + ankleDrive[DRIVE.frictionPower];
    const p2 = kneeDrive[DRIVE.springPower] + ankleDrive[DRIVE.springPower];
    const p3 = kneeStop * v[KNEE] + ankleStop * v[ANKLE];
    const p4 = (hip + needed[THIGH]) * v[THIGH];
    const p5 = needed[HIP_X] * v[HIP_X];
    const p6 = led * v[HIP_Z];
    const p7 = other * v[HIP_Z];
    const p8 = ground[GROUND.power];
    const energy = terms[TERM.kinetic] + terms[TERM.potential];
    if (n === 0) start = energy;
    else {
      const w0 = half * (power[0] + p0);
      const w1 = half * (power[1] + p1);
      const w2 = half * (power[2] + p2);
      const w3 = half * (power[3] + p3);
      const w4 = half * (power[4] + p4);
      const w5 = half * (power[5] + p5);
      const w6 = half * (power[6] + p6);
      const w7 = half * (power[7] + p7);
      const w8 = half * (power[8] + p8);
      works[0] += w0;
      works[1] += w1;
      works[2] += w2;
      works[3] += w3;
      works[4] += w4;
      works[5] += w5;
      works[6] += w6;
      works[7] += w7;
      works[8] += w8;
      sum += w0 + w1 + w2 + w3 + w4 + w5 + w6 + w7 + w8;
      moved +=
        Math.abs(w0) +
        Math.abs(w1) +
        Math.abs(w2) +
        Math.abs(w3) +
        Math.abs(w4) +
        Math.abs(w5) +
        Math.abs(w6) +
        Math.abs(w7) +
        Math.abs(w8);
      // a residual that is no number is never passed over
      const residual = Math.abs(energy - start - sum);
      if (!(residual <= worst)) worst = residual;
    }
    power[0] = p0;
    power[1] = p1;
    power[2] = p2;
    power[3] = p3;
    power[4] = p4;
    power[5] = p5;
    power[6] = p6;
    power[7] = p7;
    power[8] = p8;

    n++;
    at += COURSE_WIDTH;
    if (at === end) at = 0;
    v[HIP_Z] += step * a[HIP_Z];
    q[HIP_Z] += step * v[HIP_Z];
    v[KNEE] += step * a[KNEE];
    q[KNEE] += step * v[KNEE];
    v[ANKLE] += step * a[ANKLE];
    q[ANKLE] += step * v[ANKLE];
    q[HIP_X] = table[at + COURSE.x] + carried * n * step;
    v[HIP_X] = table[at + COURSE.xRate] + carried;
    a[HIP_X] = table[at + COURSE.xAcceleration];
    if (prescribed) {
      q[THIGH] = table[at + COURSE.thigh];
      v[THIGH] = table[at + COURSE.thighRate];
      a[THIGH] = table[at + COURSE.thighAcceleration];
    } else {
      v[THIGH] += step * a[THIGH];
      q[THIGH] += step * v[THIGH];
    }
  }
  room.count[COUNT.step] = n;
  kept[KEPT.start] = start;
  kept[KEPT.sum] = sum;
  kept[KEPT.worst] = worst;
  kept[KEPT.moved] = moved;
}
