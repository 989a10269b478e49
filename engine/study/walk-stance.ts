import { type JointDemand, STRIDE_SAMPLES } from '../gait/demand-result.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { StanceTable } from '../walk/phase-controller.ts';
import type { WalkJoint } from '../walk/walk-setup.ts';
import { sampledDrive } from './sampled-drive.ts';
import { loadsOf, stableStiffness } from './stable-stiffness.ts';
import type { StanceSchedule } from './stance-schedule.ts';
import type { StudyInput } from './study-input.ts';
import type { ImpedanceChange } from './walk-change.ts';
import { jointInertia, throughGears } from './walk-hardware.ts';

/** Steps of a stance table. */
const STEPS = 200;
/** Damping ratio that stance is given beside what was fitted: walking alone says little of damping, often none. Our own choice: critical, so that a foot that has landed does not bounce. */
const DAMPING_RATIO = 1;
/** Share of the stiffness that the loop just bears which stance may take. Our own choice, for gears and delays that are not quite what the leg file says. */
const OF_THE_BORNE = 0.8;
/** N·m/rad to which that is rounded down, so that legs that hardly differ share a fit. Our choice. */
const ROUNDED = 10;

/**
 * Damper at the joint, N·m·s/rad, with which the spring and damper that software holds are critical on limb and rotor:
 *
 *     B_d = 2ζ·√(K_s·J)·(K/K_s)²,   K_s: of the software, K: at the joint
 *
 * A damper that were critical at the joint would have to be the stiffer at the rotor the more the gears yield, which no sampled loop bears.
 */
function addedDamper(joint: WalkJoint, stiffness: number, inertia: number): number {
  const software = throughGears(joint, { stiffness, damping: 1 });
  if ('openBecause' in software) return Number.NaN;
  return (2 * DAMPING_RATIO * Math.sqrt(software.stiffness * inertia)) / software.damping;
}

/** Stiffest spring of stance, N·m/rad at the joint: four fifths of that which its sampled loop just bears with its damper, whatever it carries. */
export function stiffestStance(input: StudyInput, name: DrivenJoint, joint: WalkJoint): number {
  const sampled = sampledDrive(input, name);
  if ('openBecause' in sampled) return Number.NaN;
  const inertia = jointInertia(input.leg, name);
  const { stiffness } = stableStiffness(sampled, loadsOf(input, name), (K) =>
    addedDamper(joint, K, inertia),
  ).joint;
  return ROUNDED * Math.floor((OF_THE_BORNE * stiffness) / ROUNDED);
}

/**
 * A schedule by sub-phases over the phase of stance, damped about the stride's own motion:
 *
 *     τ = −K·θ + c − B·θ̇ + B_d·(θ̇_own(s) − θ̇),   B_d as in `addedDamper`
 *
 * so that what is added gives nothing on the stride itself. J: limb and rotor at the joint, kg·m². `change` multiplies K and c, and both dampers.
 */
export function stanceTable(
  { subphases, tasks }: StanceSchedule,
  own: JointDemand,
  joint: WalkJoint,
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
    const added = change.damping * addedDamper(joint, impedance.stiffness, inertia);
    stiffness[i] = change.stiffness * impedance.stiffness;
    damping[i] = change.damping * impedance.damping + added;
    offset[i] = change.stiffness * impedance.offset + added * rate;
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
  joint: WalkJoint,
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
