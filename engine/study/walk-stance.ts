import type { Load } from '../control/loop-polynomial.ts';
import type { SampledJoint } from '../control/sampled-joint.ts';
import { SUBPHASES } from '../control/stance-events.ts';
import { steadiestDamper, stiffestBorne } from '../control/steadiest-damper.ts';
import { type JointDemand, STRIDE_SAMPLES } from '../gait/demand-result.ts';
import type { StanceTable } from '../walk/stance-table.ts';
import type { StanceSchedule } from './stance-schedule.ts';
import type { ImpedanceChange } from './walk-change.ts';
import { throughGears } from './walk-hardware.ts';

/** Steps of a stance table. */
const STEPS = 200;
/** Share of the stiffness that the loop just bears which stance may take. Our own choice, for gears and delays that are not quite what the leg file says. */
const OF_THE_BORNE = 0.8;
/** Sub-phase of the ankle in which the foot is lowered: its damper resists that, where it would else drive a foot that lands late down with the stride's own rate. Our own choice. */
const LANDING = SUBPHASES.ankle[0];
/** N·m/rad to which that is rounded down, so that legs that hardly differ share a fit. Our choice. */
const ROUNDED = 10;

/**
 * Stiffest spring of stance, N·m/rad at the joint: four fifths of that up to which the sampled loop is stable, each with its steadiest damper,
 * whatever the joint carries of `loads`. +∞ where the gears are rigid or the angle is the joint's own.
 */
export function stiffestStance(joint: SampledJoint, loads: readonly Load[]): number {
  if (joint.measuredAt === 'joint' || joint.gearStiffness === Number.POSITIVE_INFINITY)
    return Number.POSITIVE_INFINITY;
  const most = stiffestBorne(joint, loads, ROUNDED / 2);
  return ROUNDED * Math.floor((OF_THE_BORNE * most) / ROUNDED);
}
/**
 * A schedule by sub-phases over the phase of stance, damped about the stride's own motion:
 *
 *     τ = −K·θ + c − B·θ̇ + B_d·(θ̇_own(s) − θ̇),   B_d: `steadiestDamper`
 *
 * so that what is added gives nothing on the stride itself, but for the ankle's loading, where it resists: θ̇_own is taken as 0. `change` multiplies K and c, and both dampers.
 */
export function stanceTable(
  { subphases, tasks }: StanceSchedule,
  own: JointDemand,
  joint: SampledJoint,
  stance: number,
  change: ImpedanceChange,
): StanceTable {
  const ends = tasks[0].percent.slice(1).map((percent) => percent / 100 / stance);
  const stiffness = new Float64Array(STEPS + 1);
  const offset = new Float64Array(STEPS + 1);
  const damping = new Float64Array(STEPS + 1);
  const dampers = subphases.map(({ impedance }) => steadiestDamper(joint, impedance.stiffness));
  const landing = subphases.findIndex(({ name }) => name === LANDING);
  for (let i = 0; i <= STEPS; i++) {
    const found = ends.findIndex((end) => i / STEPS <= end);
    const part = found < 0 ? subphases.length - 1 : found;
    const { impedance } = subphases[part];
    const place = (i / STEPS) * stance * (STRIDE_SAMPLES - 1);
    const k = Math.min(STRIDE_SAMPLES - 2, Math.floor(place));
    const rate = own.velocity[k] + (place - k) * (own.velocity[k + 1] - own.velocity[k]);
    const added = change.damping * dampers[part];
    stiffness[i] = change.stiffness * impedance.stiffness;
    damping[i] = change.damping * impedance.damping + added;
    offset[i] = change.stiffness * impedance.offset + (part === landing ? 0 : added * rate);
  }
  return { stiffness, offset, damping };
}

/**
 * The table that software must hold for `joint` to do as `table` asks through its elastic gears: K and B by `softwareGains`, and with them
 * the offset, so that it rests where it was asked to:
 *
 *     c_s = c·K_g/(K_g − K)
 *
 * Open where stance asks for more stiffness than the gears have.
 */
export function softwareTable(
  table: StanceTable,
  joint: SampledJoint,
): StanceTable | { readonly openBecause: string } {
  const stiffness = new Float64Array(STEPS + 1);
  const offset = new Float64Array(STEPS + 1);
  const damping = new Float64Array(STEPS + 1);
  for (let i = 0; i <= STEPS; i++) {
    const asked = { stiffness: table.stiffness[i], damping: table.damping[i] };
    const gains = throughGears(joint, asked);
    if ('openBecause' in gains) return gains;
    stiffness[i] = gains.stiffness;
    damping[i] = gains.damping;
    offset[i] = table.offset[i] * (asked.stiffness > 0 ? gains.stiffness / asked.stiffness : 1);
  }
  return { stiffness, offset, damping };
}
