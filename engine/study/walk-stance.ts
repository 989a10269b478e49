import { type JointDemand, STRIDE_SAMPLES } from '../gait/demand-result.ts';
import type { StanceTable } from '../walk/phase-controller.ts';
import type { StanceSchedule } from './stance-schedule.ts';
import type { ImpedanceChange } from './walk-change.ts';

/** Steps of a stance table. */
const STEPS = 200;
/** Damping ratio that stance is given beside what was fitted: walking alone says little of damping, often none. Our own choice: critical, so that a foot that has landed does not bounce. */
const DAMPING_RATIO = 1;

/**
 * A schedule by sub-phases over the phase of stance, damped about the stride's own motion:
 *
 *     τ = −K·θ + c − B·θ̇ + B_d·(θ̇_own(s) − θ̇),   B_d = 2ζ·√(K·J)
 *
 * so that what is added gives nothing on the stride itself. J: limb and rotor at the joint, kg·m². `change` multiplies K and c, and both dampers.
 */
export function stanceTable(
  { subphases, tasks }: StanceSchedule,
  own: JointDemand,
  inertia: number,
  stance: number,
  change: ImpedanceChange,
): StanceTable {
  const ends = tasks[0].percent.slice(1).map((percent) => percent / 100 / stance);
  const stiffness = new Float64Array(STEPS + 1);
  const offset = new Float64Array(STEPS + 1);
  const damping = new Float64Array(STEPS + 1);
  for (let i = 0; i <= STEPS; i++) {
    const found = ends.findIndex((end) => i / STEPS <= end);
    const { impedance } = subphases[found < 0 ? subphases.length - 1 : found];
    const place = (i / STEPS) * stance * (STRIDE_SAMPLES - 1);
    const k = Math.min(STRIDE_SAMPLES - 2, Math.floor(place));
    const rate = own.velocity[k] + (place - k) * (own.velocity[k + 1] - own.velocity[k]);
    const added = change.damping * 2 * DAMPING_RATIO * Math.sqrt(impedance.stiffness * inertia);
    stiffness[i] = change.stiffness * impedance.stiffness;
    damping[i] = change.damping * impedance.damping + added;
    offset[i] = change.stiffness * impedance.offset + added * rate;
  }
  return { stiffness, offset, damping };
}
