import type { FreeLimb, LimbLoad } from '../gait/carried-limb.ts';
import { rungeKutta4 } from '../numeric/runge-kutta.ts';
import type { Rad } from '../quantity/angle.ts';
import { breakawayTorque } from './back-drive.ts';
import type { JointDrive } from './leg-drive.ts';
import { runningDrag } from './motor-torque.ts';
import { type PhaseShort, shortTorque } from './shorted-phases.ts';

/** The unpowered joint's way from a state, evenly sampled over the time asked for, both ends included. */
export interface UnpoweredSwing {
  readonly step: number;
  /** rad */
  readonly angle: Float64Array;
  /** rad left at the end. */
  readonly left: Rad;
  /** s until the angle is first at or below the one asked for; +∞ where not within the time. */
  readonly reached: number;
}

/** Samples of a swing; our choice. */
const SAMPLES = 50;

/**
 * Swing of a limb from an unpowered joint for `time` s, starting at `angle` with `velocity`:
 *
 *     M·θ̈ = τ_limb − sgn θ̇·[N·T·(1/η_b or η_f) + J_out·|θ̇|˙ + τ_c,out + b_out·|θ̇|]
 *     T = (J_m + J_in)·N·|θ̇|˙ + τ_c + b·N·|θ̇| + τ_short(N·|θ̇|)      η_b while T ≥ 0 is driven by the limb, η_f while T drives it
 *
 * At rest it stays while |τ_limb| ≤ τ_bd. The ends of the joint's range stop it without bounce. A parallel spring acts within its
 * range. Runge–Kutta, the step short against what the short and drag do to the rotor; a turn of direction is found by linear
 * interpolation within its step, which then goes on from there. `extended` is the angle whose passing is timed.
 */
export function unpoweredSwing(
  drive: JointDrive,
  short: PhaseShort,
  limb: FreeLimb,
  start: {
    readonly angle: number;
    readonly velocity: number;
    readonly time: number;
    readonly extended: number;
  },
): UnpoweredSwing {
  const { motor, transmission: t, parallelSpring: spring } = drive;
  const N = t.ratio;
  const J = motor.rotorInertia + t.inputInertia;
  const held = breakawayTorque(motor, t);
  const load: LimbLoad = { inertia: 0, torque: 0 };
  let direction = Math.sign(start.velocity);

  const pull = (time: number, angle: number, velocity: number): number => {
    limb(time, angle, velocity, load);
    if (spring !== undefined && angle >= spring.engaged.from && angle <= spring.engaged.to)
      load.torque -= spring.stiffness * (angle - spring.equilibrium);
    return load.torque;
  };
  /** |θ̇|˙ along the direction of motion: the mesh's loss goes by the sign of the shaft's torque, which has one solution. */
  const along = (torque: number, speed: number): number => {
    const drag =
      runningDrag(motor, N * speed) + (short === 'open' ? 0 : shortTorque(motor, N * speed, short));
    const rest = torque - t.outputCoulomb - t.outputViscous * speed;
    const driven = 1 / t.backDrivenEfficiency;
    const limbDrives = (rest - N * drag * driven) / (load.inertia + t.outputInertia + N * N * J * driven);
    if (J * N * limbDrives + drag >= 0) return limbDrives;
    const eta = t.drivingEfficiency;
    return (rest - N * drag * eta) / (load.inertia + t.outputInertia + N * N * J * eta);
  };
  // y: angle, velocity, time
  const step = rungeKutta4((y, out) => {
    out[0] = y[1];
    const torque = pull(y[2], y[0], y[1]);
    out[1] = direction * along(direction * torque, Math.max(0, direction * y[1]));
    out[2] = 1;
  }, 3);

  const electric =
    short === 'open' ? 0 : (1.5 * (motor.polePairs * motor.fluxLinkage) ** 2) / (motor.resistance + short);
  const rate = (electric + motor.viscousDrag) / J;
  const inner = Math.max(2, Math.ceil((2 * rate * start.time) / SAMPLES));
  const h = start.time / SAMPLES / inner;
  const y = Float64Array.of(start.angle, start.velocity, 0);
  const angle = new Float64Array(SAMPLES + 1);
  angle[0] = y[0];
  let reached = y[0] <= start.extended ? 0 : Number.POSITIVE_INFINITY;
  for (let k = 1; k <= SAMPLES; k++) {
    for (let i = 0; i < inner; i++) {
      const before = y[0];
      const clock = y[2];
      advance();
      if (reached === Number.POSITIVE_INFINITY && y[0] <= start.extended)
        reached = clock + (h * (before - start.extended)) / (before - y[0]);
    }
    angle[k] = y[0];
  }
  return { step: start.time / SAMPLES, angle, left: y[0] as Rad, reached };

  /** One step of h; where the motion turns within it, a part up to there and another from there. */
  function advance(): void {
    let rest = h;
    while (rest > 0) {
      if (y[1] === 0) {
        const torque = pull(y[2], y[0], 0);
        const stopped = (y[0] <= drive.range.from && torque < 0) || (y[0] >= drive.range.to && torque > 0);
        if (stopped || Math.abs(torque) <= held) break;
        direction = Math.sign(torque);
      }
      const [angleBefore, velocityBefore, clock] = y;
      step(y, rest);
      if (y[1] * direction < 0) {
        const share = velocityBefore / (velocityBefore - y[1]);
        y[0] = angleBefore + (share * rest * velocityBefore) / 2;
        y[1] = 0;
        y[2] = clock + share * rest;
        // more friction moving than at rest: what starts there is stopped at once
        if (share === 0) break;
        rest *= 1 - share;
      } else rest = 0;
      if (y[0] < drive.range.from || y[0] > drive.range.to) {
        y[0] = y[0] < drive.range.from ? drive.range.from : drive.range.to;
        y[1] = 0;
      }
    }
    y[2] += rest;
  }
}
