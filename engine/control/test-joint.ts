// Joints and loops in time, to judge the formulas by. Read by tests only.
import type { Load } from './loop-polynomial.ts';
import { filterPole, type SampledJoint } from './sampled-joint.ts';

/** An invented joint of round numbers: 1 ms, one period of delay, current loop of 500 Hz, speed filtered at 60 Hz. */
export const JOINT: SampledJoint = {
  rotorInertia: 0.045,
  rotorDamping: 0.25,
  rotorCoulomb: 0,
  outputInertia: 0,
  outputDamping: 0,
  outputCoulomb: 0,
  gearStiffness: Number.POSITIVE_INFINITY,
  drivingEfficiency: 1,
  backDrivenEfficiency: 1,
  measuredAt: 'motor',
  period: 1e-3,
  delay: 1e-3,
  currentLag: 1 / (2 * Math.PI * 500),
  filterPole: filterPole(60, 1e-3),
  constantError: 0,
};

/** A joint that a hand moves, in time. Written apart from the formulas it judges. */
interface Run {
  readonly joint: SampledJoint;
  readonly stiffness: number;
  readonly damping: number;
  /** The joint's angle by time, rad, where a hand moves it. */
  readonly angle: (t: number) => number;
  readonly duration: number;
  /** Small steps a period. */
  readonly fine: number;
  /** Encoder step, rad; 0: none. */
  readonly step?: number;
  /** Inertia that the law takes off by measured motion, kg·m². */
  readonly compensated?: number;
}

/** Torque that a hand needs, N·m, at each small step, gears rigid: sampled law, delay, lag, friction, mesh; motion from differences of `angle`. */
export function handTorque(run: Run): { readonly dt: number; readonly torque: Float64Array } {
  const { joint: j, stiffness: K, damping: B, angle, duration, fine, step = 0, compensated = 0 } = run;
  const dt = j.period / fine;
  const n = Math.round(duration / dt);
  const torque = new Float64Array(n);
  const wait = Math.round(j.delay / dt);
  const asked = new Float64Array(n + wait + fine + 1);
  let [before, speed, change, lagged] = [angle(0), 0, 0, 0];
  const decay = j.currentLag === 0 ? 0 : Math.exp(-dt / j.currentLag);
  const h = 1e-4;
  for (let i = 0; i < n; i++) {
    const t = i * dt;
    if (i % fine === 0) {
      const raw = angle(t);
      const seen = step === 0 ? raw : Math.round(raw / step) * step;
      const faster = j.filterPole * speed + ((1 - j.filterPole) * (seen - before)) / j.period;
      change = j.filterPole * change + ((1 - j.filterPole) * (faster - speed)) / j.period;
      [speed, before] = [faster, seen];
      const u = -K * seen - B * speed + compensated * change;
      for (let k = 0; k < fine; k++) asked[i + wait + k] = u;
    }
    // the mean of the lag's answer over the step
    const next = asked[i] + (lagged - asked[i]) * decay;
    const mid = t + dt / 2;
    const v = (angle(mid + h) - angle(mid - h)) / (2 * h);
    const a = (angle(mid + h) - 2 * angle(mid) + angle(mid - h)) / (h * h);
    const motor = ((lagged + next) / 2) * (1 + j.constantError);
    lagged = next;
    const resists = j.rotorInertia * a + j.rotorDamping * v + j.rotorCoulomb * Math.sign(v) - motor;
    const through = resists * v > 0 ? resists / j.backDrivenEfficiency : resists * j.drivingEfficiency;
    torque[i] = through + j.outputInertia * a + j.outputDamping * v + j.outputCoulomb * Math.sign(v);
  }
  return { dt, torque };
}

/**
 * The loop with its load in time, small steps between samples: what is left of a push late, by what was left early. Gears elastic or not;
 * nothing of it knows of polynomials.
 */
export function growth(joint: SampledJoint, K: number, B: number, load: Load, compensated = 0): number {
  const fine = 200;
  const dt = joint.period / fine;
  const wait = Math.round(joint.delay / dt);
  const wire = new Float64Array(wait + fine + 1);
  const held = load === 'held';
  const rigid = joint.gearStiffness === Number.POSITIVE_INFINITY;
  const far = joint.outputInertia + (held ? 0 : load.inertia);
  let [x, v, y, w, torque, before, speed, change] = [1e-3, 0, held ? 0 : 1e-3, 0, 0, 1e-3, 0, 0];
  let [early, late] = [0, 0];
  const samples = 4000;
  for (let i = 0; i < samples * fine; i++) {
    if (i % fine === 0) {
      const seen = joint.measuredAt === 'motor' ? x : y;
      const faster = joint.filterPole * speed + ((1 - joint.filterPole) * (seen - before)) / joint.period;
      change = joint.filterPole * change + ((1 - joint.filterPole) * (faster - speed)) / joint.period;
      [speed, before] = [faster, seen];
      const asked = -K * seen - B * speed + compensated * change;
      for (let k = 0; k < fine; k++) wire[(i + wait + k) % wire.length] = asked;
      const size = Math.hypot(x, v / 100, y);
      if (i > 0.3 * samples * fine && i < 0.5 * samples * fine) early = Math.max(early, size);
      if (i > 0.8 * samples * fine) late = Math.max(late, size);
    }
    torque += (wire[i % wire.length] - torque) * (1 - Math.exp(-dt / joint.currentLag));
    if (rigid) {
      v += (dt * (torque - (joint.rotorDamping + joint.outputDamping) * v)) / (joint.rotorInertia + far);
      x += dt * v;
      y = x;
    } else {
      const spring = joint.gearStiffness * (x - y);
      v += (dt * (torque - joint.rotorDamping * v - spring)) / joint.rotorInertia;
      if (!held) w += (dt * (spring - joint.outputDamping * w)) / far;
      x += dt * v;
      y += dt * w;
    }
  }
  return late / early;
}
