import { ANGLE } from './leg-angles.ts';
import { ANKLE, HIP_X, HIP_Z, KNEE, TERM, THIGH } from './leg-terms.ts';
import { passiveStep } from './passive-joint.ts';
import { seatForce } from './seat.ts';
import { SMALL_TURN, sineOverTurn, turnCosine } from './small-turn.ts';
import { GROUND, soleContact } from './sole-contact.ts';
import { stopTorque } from './stop-torque.ts';
import { COURSE, COURSE_WIDTH } from './walk-course.ts';
import { DRIVE, driveStep } from './walk-drive.ts';
import { COUNT, KEPT, type WalkRoom } from './walk-room.ts';

/** Height and slope that the hip follows: written anew before each use. */
const lift = new Float64Array(2);

/**
 * `steps` steps of the leg with its drives and its wearer: semi-implicit Euler, velocity first.
 *
 *     M·q̈ + h = Q(ground, drives, stops, guide, other leg, hip),   q̇ ← q̇ + dt·q̈,   q ← q + dt·q̇
 *
 * M and h as in `legTerms`, letter by letter. Hip forward is always prescribed, and with `prescribed` so is the thigh; the force and the
 * torque that this takes are R:
 *
 *     M_uu·q̈_u = Q_u − h_u − M_up·q̈_p,   M_uu = L·D·Lᵀ,   R_p = (M·q̈ + h − Q)_p
 *
 * Each step: pose, drives or what stands in their place, ground, motion, then the powers of all that does work, by trapezoid against the energy:
 *
 *     r = E − E_0 − Σ ∫P dt
 *
 * so that the balance is worked out at every step. Nothing is allocated within one. `tick` comes before each period of the controller, whose
 * whole steps `steps` must be; false ends the walk there. It may write into anything but the motion and the balance.
 *
 * The mechanics of the leg, the drives with power on and the sole on level ground stand here in one piece, although `legTerms`, `driveStep` and
 * `soleContact` have them too: what stays in local variables over all steps is not stored, loaded and checked in each, which halves the time of
 * a step. Tests hold every step against those three and a plain solver. A drive without power is left to `driveStep`, a sole on other ground to
 * `soleContact`.
 */
export const walkSteps = (() => {
  // in a scope of its own, as in `walkTick`
  const PLACES_OF_TERMS = TERM;
  const PLACES_OF_COURSE = COURSE;
  const PLACES_OF_DRIVE = DRIVE;
  const PLACES_OF_GROUND = GROUND;
  const PLACES_OF_ANGLES = ANGLE;
  const PLACES_KEPT = KEPT;
  const PLACES_OF_COUNTS = COUNT;
  const X = HIP_X;
  const Z = HIP_Z;
  const H = THIGH;
  const K = KNEE;
  const A = ANKLE;
  const WIDTH = COURSE_WIDTH;
  const small = SMALL_TURN;
  /** Steps after which sines and cosines are worked out anew: rounding has then added some 1e-15. Our choice. */
  const anew = 64;
  return function walkSteps(room: WalkRoom, steps: number, tick?: (room: WalkRoom) => boolean): void {
    // within loops the compiler takes places for literals only where the function itself names them
    const LEG = PLACES_OF_TERMS;
    const HERE = PLACES_OF_COURSE;
    const JOINT = PLACES_OF_DRIVE;
    const FOOT = PLACES_OF_GROUND;
    const POSE = PLACES_OF_ANGLES;
    const HELD = PLACES_KEPT;
    const SO_FAR = PLACES_OF_COUNTS;
    const turn = tick === undefined ? steps : room.perTick;
    const { setup, course, chain, prescribed, step, belt, carried, first, hipStiffness, hipDamping } = room;
    const {
      q,
      v,
      a,
      force,
      needed,
      angles,
      terms,
      ground,
      anchors,
      kneeDrive,
      ankleDrive,
      power,
      works,
      kept,
    } = room;
    const { sole, terrain, seat } = setup;
    const { x: soleX, z: soleZ, stiffness: soleStiffness } = sole;
    const { damping: soleDamping, friction: soleFriction, stickStiffness, stickDamping } = sole;
    const points = soleX.length;
    const { table } = course;
    const { knee, ankle } = setup;
    const kneeDriven = 'drive' in knee ? knee.drive : undefined;
    const kneePassive = 'drive' in knee ? undefined : knee.passive;
    const ankleDriven = 'drive' in ankle ? ankle.drive : undefined;
    const anklePassive = 'drive' in ankle ? undefined : ankle.passive;
    const kneeStops = setup.knee.stops;
    const ankleStops = setup.ankle.stops;
    const { stiffness: guideStiffness, damping: guideDamping } = setup.guide;
    const { gravity: g, mass: m, thighLength, shankLength, kneeOutputInertia, ankleOutputInertia } = chain;
    const { thighX, thighZ, shankX, shankZ, footX, footZ } = chain;
    const { thighInertia: M11, shankInertia: M22, footInertia: M33 } = chain;
    const half = step / 2;
    const perMass = 1 / m;

    let n = room.count[SO_FAR.step];
    const end = course.steps * WIDTH;
    let at = ((first + n) % course.steps) * WIDTH;
    let x = q[X];
    let z = q[Z];
    let thigh = q[H];
    let vx = v[X];
    let vz = v[Z];
    let w1 = v[H];
    let ax = a[X];
    let az = a[Z];
    let a1 = a[H];
    let qk = q[K];
    let qa = q[A];
    let wk = v[K];
    let wa = v[A];
    let ak = a[K];
    let aa = a[A];
    let phi1 = angles[POSE.thigh];
    let s1 = angles[POSE.thighSin];
    let c1 = angles[POSE.thighCos];
    let phi2 = angles[POSE.shank];
    let s2 = angles[POSE.shankSin];
    let c2 = angles[POSE.shankCos];
    let phi3 = angles[POSE.foot];
    let s3 = angles[POSE.footSin];
    let c3 = angles[POSE.footCos];
    let start = kept[HELD.start];
    let sum = kept[HELD.sum];
    let worst = kept[HELD.worst];
    let moved = kept[HELD.moved];
    // of the last step, for whoever reads the walk between the calls
    let fx = 0;
    let fz = 0;
    let fh = 0;
    let fk = 0;
    let fa = 0;
    let forward = 0;
    let torque = 0;
    let ankleX = 0;
    let travel = 0;
    let up = 0;
    let pressure = 0;
    let groundPower = 0;
    let lowest = 0;
    let forefoot = 0;
    let about = 0;
    ground[FOOT.belt] = belt;
    for (let left = steps; left > 0; left -= turn) {
      if (tick !== undefined && !tick(room)) return;
      for (let i = 0; i < turn; i++) {
        // pose
        const r1x = thighLength * s1;
        const r1z = -thighLength * c1;
        const r2x = shankLength * s2;
        const r2z = -shankLength * c2;

        // what acts on it
        let p0 = 0;
        let p1 = 0;
        let p2 = 0;
        let stored = 0;
        for (let joint = 0; joint < 2; joint++) {
          const drive = joint === 0 ? kneeDrive : ankleDrive;
          const angle = joint === 0 ? qk : qa;
          const velocity = joint === 0 ? wk : wa;
          if (drive[JOINT.cut] === 0) {
            // `driveStep` with power on, letter by letter
            const rotor = drive[JOINT.rotor];
            const rate = drive[JOINT.rotorRate];
            const before = drive[JOINT.current];
            const current = before + drive[JOINT.follow] * (drive[JOINT.asked] - before);
            const share = current * drive[JOINT.perSaturation];
            const torque = (drive[JOINT.constant] * current) / Math.sqrt(1 + share * share);
            const atJoint = drive[JOINT.ratio] * torque;
            const wound = rotor - angle;
            const winds = rate - velocity;
            const gearStiffness = drive[JOINT.gearStiffness];
            const halfPlay = drive[JOINT.halfPlay];
            const pressed = wound > -halfPlay ? (wound < halfPlay ? 0 : wound - halfPlay) : wound + halfPlay;
            const springs = gearStiffness * pressed;
            let damped = drive[JOINT.gearDamping] * winds;
            let gears = springs + damped;
            let dry = drive[JOINT.slips] === 1 ? drive[JOINT.coulomb] : drive[JOINT.breakaway];
            let output = drive[JOINT.outputCoulomb];
            if (gears * pressed <= 0 && halfPlay > 0) {
              gears = 0;
              damped = -springs;
              dry = drive[JOINT.slips] === 1 ? drive[JOINT.rotorCoulomb] : drive[JOINT.rotorBreakaway];
              output = 0;
            }
            if (gears * drive[JOINT.flank] <= 0 && halfPlay > 0) {
              const flank = Math.sign(gears);
              if (flank * drive[JOINT.lastFlank] < 0) drive[JOINT.changes]++;
              if (flank !== 0) {
                drive[JOINT.meeting] = Math.max(drive[JOINT.meeting], Math.abs(winds));
                drive[JOINT.lastFlank] = flank;
              }
              drive[JOINT.flank] = flank;
            }
            const mesh = rate > 0 ? gears + output : rate < 0 ? gears - output : gears;
            const lost = mesh * rate > 0 ? drive[JOINT.drivingLoss] : drive[JOINT.backDrivenLoss];
            const cap = dry + Math.abs(mesh) * lost;
            const stickStiffness = drive[JOINT.stickStiffness];
            let anchor = drive[JOINT.anchor];
            if (Number.isNaN(anchor)) anchor = rotor;
            let friction = -stickStiffness * (rotor - anchor) - drive[JOINT.stickDamping] * rate;
            let slips = 0;
            if (friction > cap || friction < -cap) {
              friction = friction > cap ? cap : -cap;
              anchor = rotor + friction / stickStiffness;
              slips = 1;
            }
            friction -= drive[JOINT.rotorViscous] * rate;
            const viscous = -drive[JOINT.outputViscous] * velocity;
            const springStiffness = drive[JOINT.springStiffness];
            let spring = 0;
            if (springStiffness > 0 && angle >= drive[JOINT.springFrom] && angle <= drive[JOINT.springTo])
              spring = -springStiffness * (angle - drive[JOINT.springRest]);
            const motors = atJoint * rate;
            const takes = friction * rate + viscous * velocity - damped * winds;
            const next = rate + step * (atJoint - gears + friction) * drive[JOINT.perInertia];
            drive[JOINT.current] = current;
            drive[JOINT.square] += current * current * step;
            drive[JOINT.magnitude] += Math.abs(current) * step;
            drive[JOINT.anchor] = anchor;
            drive[JOINT.slips] = slips;
            drive[JOINT.motorTorque] = torque;
            drive[JOINT.output] = gears + viscous + spring;
            drive[JOINT.motorPower] = motors;
            drive[JOINT.frictionPower] = takes;
            drive[JOINT.springPower] = spring * velocity;
            const held = 0.5 * (drive[JOINT.rotorInertia] * rate * rate + gearStiffness * pressed * pressed);
            drive[JOINT.stored] = held;
            p0 += motors;
            p1 += takes;
            p2 += spring * velocity;
            stored += held;
            drive[JOINT.work] += motors * step;
            drive[JOINT.friction] -= takes * step;
            drive[JOINT.rotorRate] = next;
            drive[JOINT.rotor] = rotor + step * next;
            continue;
          }
          if (joint === 0) {
            if (kneeDriven !== undefined) driveStep(kneeDriven, kneeDrive, angle, velocity);
            else passiveStep(kneePassive!, kneeDrive, angle, velocity);
          } else if (ankleDriven !== undefined) driveStep(ankleDriven, ankleDrive, angle, velocity);
          else passiveStep(anklePassive!, ankleDrive, angle, velocity);
          p0 += drive[JOINT.motorPower];
          p1 += drive[JOINT.frictionPower];
          p2 += drive[JOINT.springPower];
          stored += drive[JOINT.stored];
        }
        const kneeStop = stopTorque(kneeStops, qk, wk);
        const ankleStop = stopTorque(ankleStops, qa, wa);
        let led =
          guideStiffness * (table[at + HERE.height] - z) + guideDamping * (table[at + HERE.heightRate] - vz);
        if (terrain !== undefined) {
          terrain.lift(x + belt * n * step, lift);
          led += guideStiffness * lift[0] + guideDamping * lift[1] * (vx + belt);
        }
        let other = table[at + HERE.other];
        // what a seat bears is counted with what the other leg gives
        if (seat !== undefined) other += seatForce(seat, z, vz);
        const hip = prescribed
          ? 0
          : table[at + HERE.hipMoment] +
            hipStiffness * (table[at + HERE.thigh] - thigh) +
            hipDamping * (table[at + HERE.thighRate] - w1);
        fx = 0;
        fz = led + other;
        fh = hip;
        fk = kneeDrive[JOINT.output] + kneeStop;
        fa = ankleDrive[JOINT.output] + ankleStop;
        ankleX = r1x + r2x;
        travel = belt * n * step;
        groundPower = 0;
        if (terrain === undefined) {
          // `soleContact` on level ground, letter by letter
          const ankleZ = r1z + r2z;
          const from = x + ankleX + travel;
          const above = z + ankleZ;
          up = 0;
          pressure = 0;
          about = 0;
          lowest = Number.POSITIVE_INFINITY;
          forefoot = Number.POSITIVE_INFINITY;
          let knees = 0;
          let ankles = 0;
          for (let k = 0; k < points; k++) {
            const px = soleX[k];
            const pz = soleZ[k];
            const r3z = px * s3 + pz * c3;
            const height = above + r3z;
            if (height < lowest) lowest = height;
            if (height < forefoot && px > 0) forefoot = height;
            if (height >= 0) {
              anchors[k] = Number.NaN;
              continue;
            }
            const r3x = px * c3 - pz * s3;
            const place = from + r3x;
            const rx = ankleX + r3x;
            const rz = ankleZ + r3z;
            const kx = r2x + r3x;
            const kz = r2z + r3z;
            const ux = vx - rz * w1 + kz * wk - r3z * wa;
            const uz = vz + rx * w1 - kx * wk + r3x * wa;
            const slip = ux + belt;
            // `normalForce`, whose depth is more than nothing here
            const push = soleStiffness[k] * -height * Math.sqrt(-height) * (1 - soleDamping * uz);
            const normal = Math.max(push, 0);
            let anchor = anchors[k];
            if (Number.isNaN(anchor)) anchor = place;
            let along = -stickStiffness * (place - anchor) - stickDamping * slip;
            const cap = soleFriction * normal;
            if (along > cap || along < -cap) {
              along = along > cap ? cap : -cap;
              anchor = place + along / stickStiffness;
            }
            anchors[k] = anchor;
            fx += along;
            up += normal;
            pressure += normal * rx;
            groundPower += along * ux + normal * uz;
            about += rx * normal - rz * along;
            knees += kz * along - kx * normal;
            ankles += r3x * normal - r3z * along;
          }
          fz += up;
          fh += about;
          fk += knees;
          fa += ankles;
        } else {
          terms[LEG.footSin] = s3;
          terms[LEG.footCos] = c3;
          terms[LEG.ankleX] = ankleX;
          terms[LEG.ankleZ] = r1z + r2z;
          terms[LEG.shankX] = r2x;
          terms[LEG.shankZ] = r2z;
          q[X] = x;
          q[Z] = z;
          v[X] = vx;
          v[Z] = vz;
          v[H] = w1;
          v[K] = wk;
          v[A] = wa;
          force[X] = fx;
          force[Z] = fz;
          force[H] = fh;
          force[K] = fk;
          force[A] = fa;
          ground[FOOT.travel] = travel;
          soleContact(sole, q, v, terms, anchors, force, ground, terrain);
          fx = force[X];
          fz = force[Z];
          fh = force[H];
          fk = force[K];
          fa = force[A];
          groundPower = ground[FOOT.power];
        }

        // motion
        const w2 = w1 - wk;
        const w3 = w2 + wa;
        const g1x = thighX * c1 - thighZ * s1;
        const g1z = thighX * s1 + thighZ * c1;
        const g2x = shankX * c2 - shankZ * s2;
        const g2z = shankX * s2 + shankZ * c2;
        const g3x = footX * c3 - footZ * s3;
        const g3z = footX * s3 + footZ * c3;
        const M12 = r1x * g2x + r1z * g2z;
        const M13 = r1x * g3x + r1z * g3z;
        const M23 = r2x * g3x + r2z * g3z;
        const n12 = r1x * g2z - r1z * g2x;
        const n13 = r1x * g3z - r1z * g3x;
        const n23 = r2x * g3z - r2z * g3x;
        const q1 = w1 * w1;
        const q2 = w2 * w2;
        const q3 = w3 * w3;
        const H1 = g * g1x - n12 * q2 - n13 * q3;
        const H2 = g * g2x + n12 * q1 - n23 * q3;
        const H3 = g * g3x + n13 * q1 + n23 * q2;
        const xh = -g1z - g2z - g3z;
        const xk = g2z + g3z;
        const xa = -g3z;
        const zh = g1x + g2x + g3x;
        const zk = -g2x - g3x;
        const za = g3x;
        const hh = M11 + M22 + M33 + 2 * (M12 + M13 + M23);
        const hk = -(M12 + M13 + M22 + M33 + 2 * M23);
        const ha = M13 + M23 + M33;
        const kk = M22 + M33 + 2 * M23 + kneeOutputInertia;
        const ka = -(M23 + M33);
        let bz = fz - (m * g - q1 * g1z - q2 * g2z - q3 * g3z);
        let bh = fh - (H1 + H2 + H3) - xh * ax;
        let bk = fk + H2 + H3 - xk * ax;
        let ba = fa - H3 - xa * ax;
        const lk = zk * perMass;
        const la = za * perMass;
        torque = 0;
        if (prescribed) {
          bz -= zh * a1;
          bk -= hk * a1 + lk * bz;
          const perKnee = 1 / (kk - lk * zk);
          const ek = ka - lk * za;
          const mk = ek * perKnee;
          ba -= ha * a1 + la * bz + mk * bk;
          aa = ba / (M33 + ankleOutputInertia - la * za - mk * ek);
          ak = bk * perKnee - mk * aa;
          az = bz * perMass - lk * ak - la * aa;
          torque = hh * a1 + zh * az + hk * ak + ha * aa - bh;
        } else {
          const lh = zh * perMass;
          const perThigh = 1 / (hh - lh * zh);
          const eh = hk - lh * zk;
          const fh = ha - lh * za;
          const mk = eh * perThigh;
          const ma = fh * perThigh;
          const perKnee = 1 / (kk - lk * zk - mk * eh);
          const ek = ka - lk * za - mk * fh;
          const l = ek * perKnee;
          bh -= lh * bz;
          bk -= lk * bz + mk * bh;
          ba -= la * bz + ma * bh + l * bk;
          aa = ba / (M33 + ankleOutputInertia - la * za - ma * fh - l * ek);
          ak = bk * perKnee - l * aa;
          a1 = bh * perThigh - mk * ak - ma * aa;
          az = bz * perMass - lh * a1 - lk * ak - la * aa;
        }
        forward = m * ax + xh * a1 + xk * ak + xa * aa - q1 * g1x - q2 * g2x - q3 * g3x - fx;
        // balance
        const energy =
          0.5 * m * (vx * vx + vz * vz) -
          vx * (g1z * w1 + g2z * w2 + g3z * w3) +
          vz * (g1x * w1 + g2x * w2 + g3x * w3) +
          0.5 *
            (M11 * q1 + M22 * q2 + M33 * q3 + kneeOutputInertia * wk * wk + ankleOutputInertia * wa * wa) +
          M12 * w1 * w2 +
          M13 * w1 * w3 +
          M23 * w2 * w3 +
          g * (m * z + g1z + g2z + g3z) +
          stored;
        const p3 = kneeStop * wk + ankleStop * wa;
        const p4 = (hip + torque) * w1;
        const p5 = forward * vx;
        const p6 = led * vz;
        const p7 = other * vz;
        const p8 = groundPower;
        if (n === 0) start = energy;
        else {
          const w0 = half * (power[0] + p0);
          const y1 = half * (power[1] + p1);
          const y2 = half * (power[2] + p2);
          const y3 = half * (power[3] + p3);
          const y4 = half * (power[4] + p4);
          const y5 = half * (power[5] + p5);
          const y6 = half * (power[6] + p6);
          const y7 = half * (power[7] + p7);
          const y8 = half * (power[8] + p8);
          works[0] += w0;
          works[1] += y1;
          works[2] += y2;
          works[3] += y3;
          works[4] += y4;
          works[5] += y5;
          works[6] += y6;
          works[7] += y7;
          works[8] += y8;
          sum += w0 + y1 + y2 + y3 + y4 + y5 + y6 + y7 + y8;
          moved +=
            Math.abs(w0) +
            Math.abs(y1) +
            Math.abs(y2) +
            Math.abs(y3) +
            Math.abs(y4) +
            Math.abs(y5) +
            Math.abs(y6) +
            Math.abs(y7) +
            Math.abs(y8);
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
        at += WIDTH;
        if (at === end) at = 0;
        vz += step * az;
        z += step * vz;
        wk += step * ak;
        qk += step * wk;
        wa += step * aa;
        qa += step * wa;
        x = table[at + HERE.x] + carried * n * step;
        vx = table[at + HERE.xRate] + carried;
        ax = table[at + HERE.xAcceleration];
        if (prescribed) {
          thigh = table[at + HERE.thigh];
          w1 = table[at + HERE.thighRate];
          a1 = table[at + HERE.thighAcceleration];
        } else {
          w1 += step * a1;
          thigh += step * w1;
        }
        const d1 = thigh - phi1;
        const d2 = thigh - qk - phi2;
        const d3 = thigh - qk + qa - phi3;
        phi1 = thigh;
        phi2 = thigh - qk;
        phi3 = phi2 + qa;
        const e1 = d1 * d1;
        const e2 = d2 * d2;
        const e3 = d3 * d3;
        if (e1 + e2 + e3 < small && n % anew > 0) {
          const sin1 = d1 * sineOverTurn(e1);
          const cos1 = turnCosine(e1);
          const sin2 = d2 * sineOverTurn(e2);
          const cos2 = turnCosine(e2);
          const sin3 = d3 * sineOverTurn(e3);
          const cos3 = turnCosine(e3);
          const b1 = s1;
          const b2 = s2;
          const b3 = s3;
          s1 = b1 * cos1 + c1 * sin1;
          c1 = c1 * cos1 - b1 * sin1;
          s2 = b2 * cos2 + c2 * sin2;
          c2 = c2 * cos2 - b2 * sin2;
          s3 = b3 * cos3 + c3 * sin3;
          c3 = c3 * cos3 - b3 * sin3;
        } else {
          s1 = Math.sin(phi1);
          c1 = Math.cos(phi1);
          s2 = Math.sin(phi2);
          c2 = Math.cos(phi2);
          s3 = Math.sin(phi3);
          c3 = Math.cos(phi3);
        }
      }
      q[X] = x;
      q[Z] = z;
      q[H] = thigh;
      q[K] = qk;
      q[A] = qa;
      v[X] = vx;
      v[Z] = vz;
      v[H] = w1;
      v[K] = wk;
      v[A] = wa;
      a[X] = ax;
      a[Z] = az;
      a[H] = a1;
      a[K] = ak;
      a[A] = aa;
      angles[POSE.thigh] = phi1;
      angles[POSE.thighSin] = s1;
      angles[POSE.thighCos] = c1;
      angles[POSE.shank] = phi2;
      angles[POSE.shankSin] = s2;
      angles[POSE.shankCos] = c2;
      angles[POSE.foot] = phi3;
      angles[POSE.footSin] = s3;
      angles[POSE.footCos] = c3;
      force[X] = fx;
      force[Z] = fz;
      force[H] = fh;
      force[K] = fk;
      force[A] = fa;
      needed[X] = forward;
      needed[H] = torque;
      terms[LEG.ankleX] = ankleX;
      if (terrain === undefined) {
        ground[FOOT.forward] = fx;
        ground[FOOT.up] = up;
        ground[FOOT.pressure] = pressure;
        ground[FOOT.power] = groundPower;
        ground[FOOT.lowest] = lowest;
        ground[FOOT.forefoot] = forefoot;
        ground[FOOT.aboutHip] = about;
        ground[FOOT.travel] = travel;
      }
      room.count[SO_FAR.step] = n;
      kept[HELD.start] = start;
      kept[HELD.sum] = sum;
      kept[HELD.worst] = worst;
      kept[HELD.moved] = moved;
    }
  };
})();
