import { largestCurrent } from './largest-current.ts';
import type { JointDrive } from './leg-drive.ts';
import { currentFor } from './motor-torque.ts';
import { reflectedInertia } from './reflected-inertia.ts';
import { phaseVoltageLimit } from './voltage-limit.ts';

/** The rotor on the gears' stiffness, output locked. */
export interface TorqueResponse {
  /** √(K_g/J_ref)/2π, Hz. */
  readonly naturalFrequency: number;
  readonly dampingRatio: number;
  /** Hz at which |τ/τ_cmd| is 1/√2. */
  readonly bandwidth: number;
  /** Largest |τ/τ_cmd|: 1 where nothing resonates, ∞ without damping. */
  readonly resonance: number;
}

/**
 * Torque at a locked joint for torque commanded of the motor, small signals.
 *
 *     τ/τ_cmd = K_g/(J_ref·s² + b·s + K_g),   ω_n = √(K_g/J_ref),  ζ = b/(2√(K_g·J_ref))
 *     ω_b = ω_n·√(1 − 2ζ² + √((1 − 2ζ²)² + 1)),   resonance 1/(2ζ·√(1 − ζ²)) where ζ < 1/√2
 *
 * `stiffness` K_g N·m/rad, `inertia` J_ref kg·m², `damping` b N·m·s/rad, all at the joint. Without torque feedback. A large resonance
 * means that torque is not under control up to ω_b: it rings there. Backlash and dry friction, which small amplitudes meet first, are not in it.
 */
export function outputLockedTorque(inertia: number, stiffness: number, damping: number): TorqueResponse {
  const natural = Math.sqrt(stiffness / inertia);
  const zeta = damping / (2 * Math.sqrt(stiffness * inertia));
  const s = 1 - 2 * zeta * zeta;
  return {
    naturalFrequency: natural / (2 * Math.PI),
    dampingRatio: zeta,
    bandwidth: (natural * Math.sqrt(s + Math.sqrt(s * s + 1))) / (2 * Math.PI),
    resonance: s > 0 ? 1 / (2 * zeta * Math.sqrt(1 - zeta * zeta)) : 1,
  };
}

/** b at the joint, N·m·s/rad, of motor and output bearings:  N²·b_m + b_out. The mesh is taken lossless here, which damps least. */
export const jointDamping = ({ motor, transmission: t }: JointDrive): number =>
  t.ratio ** 2 * motor.viscousDrag + t.outputViscous;

/** How fast a torque of stated amplitude can swing, and what forbids more. */
export interface TorqueReach {
  /** N·m at the joint. */
  readonly amplitude: number;
  /** Hz; NaN where the amplitude cannot even be held. */
  readonly frequency: number;
  readonly limitedBy: 'voltage' | 'current';
}

/** Instants of half a period at which voltage and current are looked at: the other half mirrors it. */
const INSTANTS = 64;
const SIN = Float64Array.from({ length: INSTANTS }, (_, k) => Math.sin((Math.PI * k) / INSTANTS));
const COS = Float64Array.from({ length: INSTANTS }, (_, k) => Math.cos((Math.PI * k) / INSTANTS));
/** Step of the search, and how far under the natural frequency it begins. */
const STEP = 1.05;
const BEGIN = 0.01;

/**
 * Highest frequency at which a locked joint can swing between ±`amplitude` N·m, rotor, bus and current limit considered.
 *
 *     δ = (A/K_g)·sin ωt,   N·τ_m = J_ref·δ̈ + b·δ̇ + K_g·δ        the rotor winds up the gears
 *     ω_e = p·N·δ̇,  v_q = R·i + L·di/dt + λ·ω_e,  v_d = −ω_e·L·i,  v_d² + v_q² ≤ V²,  |i| ≤ i_max
 *
 * i from the saturation curve; i_d = 0; mesh lossless and without dry friction or backlash; stiff bus, cold motor. Up to there every
 * lower frequency is possible too; the first that is not ends it, by steps of 5 % and bisection. Near the natural frequency little
 * current is needed: what the bus then pays for is the rotor's speed.
 */
export function torqueReach(drive: JointDrive, busVoltage: number, amplitude: number): TorqueReach {
  const { motor, transmission: t } = drive;
  const voltage = phaseVoltageLimit(busVoltage, drive);
  const most = largestCurrent(drive);
  const inertia = reflectedInertia(motor, t);
  const damping = jointDamping(drive);
  const stiffness = t.torsionalStiffness;
  const kt = 1.5 * motor.polePairs * motor.fluxLinkage;
  const beyond = (w: number): TorqueReach['limitedBy'] | undefined => {
    const inPhase = (amplitude * (1 - (inertia * w * w) / stiffness)) / t.ratio;
    const ahead = (amplitude * damping * w) / stiffness / t.ratio;
    const speed = (motor.polePairs * t.ratio * w * amplitude) / stiffness;
    for (let k = 0; k < INSTANTS; k++) {
      const [sin, cos] = [SIN[k], COS[k]];
      const torque = inPhase * sin + ahead * cos;
      const current = currentFor(motor, torque);
      if (!(Math.abs(current) <= most)) return 'current';
      // slope of the saturation curve: di/dτ = (i/(τ/K_t))³/K_t, 1/K_t at no torque
      const linear = torque === 0 ? 1 : (current * kt) / torque;
      const rise = ((inPhase * cos - ahead * sin) * w * linear * linear * linear) / kt;
      const electrical = speed * cos;
      const q = motor.resistance * current + motor.inductanceQ * rise + motor.fluxLinkage * electrical;
      const d = electrical * motor.inductanceQ * current;
      if (!(q * q + d * d <= voltage * voltage)) return 'voltage';
    }
    return undefined;
  };
  const held = beyond(0);
  if (held !== undefined) return { amplitude, frequency: Number.NaN, limitedBy: held };
  let w = BEGIN * Math.sqrt(stiffness / inertia);
  while (beyond(w) !== undefined) w /= 2;
  let limitedBy = beyond(w * STEP);
  while (limitedBy === undefined) {
    w *= STEP;
    limitedBy = beyond(w * STEP);
  }
  let [lo, hi] = [w, w * STEP];
  for (let k = 0; k < 30; k++) {
    const mid = (lo + hi) / 2;
    const found = beyond(mid);
    if (found === undefined) lo = mid;
    else [hi, limitedBy] = [mid, found];
  }
  return { amplitude, frequency: lo / (2 * Math.PI), limitedBy };
}
