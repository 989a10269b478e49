import { breakawayTorque } from './back-drive.ts';
import type { JointDrive } from './leg-drive.ts';
import { runningDrag } from './motor-torque.ts';
import { type PhaseShort, shortPeak, shortTorque } from './shorted-phases.ts';

/**
 * Torque with which an unpowered joint resists being moved steadily at `speed` q̇ ≥ 0, N·m:
 *
 *     τ_B = N·[τ_c + b·N·q̇ + τ_short(N·q̇)]/η_b + τ_c,out + b_out·q̇
 *
 * Drag and short sit behind the mesh, so that its loss is charged on both. Friction helps to hold; how much of it there is belongs
 * to the numbers in doubt. A parallel spring is not in it.
 */
export function unpoweredBrake(drive: JointDrive, short: PhaseShort, speed: number): number {
  const { motor, transmission: t } = drive;
  const electric = short === 'open' ? 0 : shortTorque(motor, t.ratio * speed, short);
  return (
    (t.ratio * (runningDrag(motor, t.ratio * speed) + electric)) / t.backDrivenEfficiency +
    t.outputCoulomb +
    t.outputViscous * speed
  );
}

/** Each outward step beyond the short's peak, of which the brake's own peak may lie a little further out; our choice. */
const OUTWARD = 1.01;

/**
 * Steady speed, rad/s, at which an unpowered joint gives under `moment` N·m: the least q̇ with τ_B(q̇) = moment on the brake's first
 * rising branch.
 *
 *     0 where breakaway holds, moment ≤ τ_bd      +∞ beyond the brake's peak: no speed is steady, the joint runs away
 *
 * On the branch a little more speed brakes a little more. Beyond the peak of shorted phases it brakes less.
 */
export function yieldSpeed(drive: JointDrive, short: PhaseShort, moment: number): number {
  const load = Math.abs(moment);
  if (Number.isNaN(load)) return Number.NaN;
  const { motor, transmission: t } = drive;
  const brake = (speed: number): number => unpoweredBrake(drive, short, speed);
  if (load <= Math.max(breakawayTorque(motor, t), brake(0))) return 0;
  if (short === 'open') {
    const slope = brake(1) - brake(0);
    return slope > 0 ? (load - brake(0)) / slope : Number.POSITIVE_INFINITY;
  }
  let below = 0;
  let above = shortPeak(motor, short).speed / t.ratio;
  while (brake(above) < load) {
    below = above;
    above *= OUTWARD;
    if (brake(above) <= brake(below)) return Number.POSITIVE_INFINITY;
  }
  for (;;) {
    const middle = (below + above) / 2;
    if (middle <= below || middle >= above) return middle;
    if (brake(middle) < load) below = middle;
    else above = middle;
  }
}
