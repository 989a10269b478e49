import { conditioning } from '../numeric/conditioning.ts';
import { quadraticProgram } from '../numeric/quadratic-program.ts';
import {
  type ActiveBound,
  type Impedance,
  type ImpedanceBounds,
  impedanceTorque,
  type JointSamples,
} from './impedance.ts';
import { activeBounds, addNormal, boundRows, zeros } from './impedance-rows.ts';

/** State of the joint in which one sub-phase gives way to the next: rad, rad/s. */
export interface SwitchState {
  readonly angle: number;
  readonly velocity: number;
}

export interface SubphaseChoice {
  /** For each sub-phase; left out: free. */
  readonly bounds?: readonly ImpedanceBounds[];
  /** Where the torque must be the same on both sides, one fewer than sub-phases; left out: sub-phases know nothing of one another. */
  readonly switches?: readonly SwitchState[];
  /** Pull of every sub-phase towards a known impedance: Λ of ½·Σ Λ·(x − x_0)², in the unit of the cost, (N·m)²/[x]². */
  readonly towards?: { readonly impedance: Impedance; readonly weight: Impedance };
}

/** One sub-phase as fitted. */
export interface SubphaseFit {
  readonly impedance: Impedance;
  /** RMS of τ_fit − τ, N·m. */
  readonly rms: number;
  /** Share of the torque's variance that the impedance makes: 1 − Σ(τ_fit − τ)²/Σ(τ − mean)². */
  readonly explained: number;
  /** cond(A), rows [−θ, 1, −θ̇] in rad and rad/s. */
  readonly condition: number;
  /** Standard deviation of K, c, B for 1 N·m of white noise in every sample, without bounds. */
  readonly perNoise: Impedance;
  readonly active: readonly ActiveBound[];
}

/** All sub-phases together. */
export interface SubphaseSchedule {
  readonly subphases: readonly SubphaseFit[];
  /** λ of each continuity, N·m: by how much ½‖A·x − τ‖² would rise per N·m that the later torque had to lie above the earlier. */
  readonly continuity: Float64Array;
  /** ½xᵀHx − fᵀx */
  readonly objective: number;
}

/**
 * K, c, B of each sub-phase, constant in it, that follow its samples best:
 *
 *     min Σ ½‖A·x − τ‖²,  rows of A [−θ, 1, −θ̇],  x = [K, c, B]
 *
 * within `bounds`, and with −θ_s·K₁ + c₁ − θ̇_s·B₁ = −θ_s·K₂ + c₂ − θ̇_s·B₂ at each switch. Convex because c = K·θ_eq is fitted and not
 * θ_eq: one minimum. Every sample weighs the same.
 *
 * What it finds is a quasi-stiffness, the slope of a walking person's torque over angle with its muscles at work: not the stiffness that a
 * push would meet. Fault `numeric.not-definite` where the samples of a sub-phase cannot tell K, c and B apart, and nothing pulls them.
 */
export function fitSubphases(
  parts: readonly JointSamples[],
  { bounds, switches, towards }: SubphaseChoice = {},
): SubphaseSchedule {
  const unknowns = 3 * parts.length;
  const [H, f] = [zeros(unknowns), new Float64Array(unknowns)];
  const rows = parts.map(rowsOf);
  for (let p = 0; p < parts.length; p++) {
    addNormal(H, f, rows[p], parts[p].torque, 3 * p);
    if (towards === undefined) continue;
    const { impedance: to, weight } = towards;
    (['stiffness', 'offset', 'damping'] as const).forEach((name, k) => {
      H[3 * p + k][3 * p + k] += weight[name];
      f[3 * p + k] += weight[name] * to[name];
    });
  }
  const continuity = (switches ?? []).map(({ angle, velocity }, s) => {
    const row = new Float64Array(unknowns);
    row.set([angle, -1, velocity, -angle, 1, -velocity], 3 * s);
    return { row, value: 0 };
  });
  const bound = parts.map((_, p) =>
    bounds === undefined ? [] : boundRows(bounds[p], [3 * p, 3 * p + 1, 3 * p + 2], unknowns),
  );
  const solved = quadraticProgram(H, f, continuity, bound.flat());
  let at = 0;
  const subphases = parts.map((part, p) => {
    const [stiffness, offset, damping] = solved.x.subarray(3 * p, 3 * p + 3);
    const impedance = { stiffness, offset, damping };
    const { condition, perNoise } = conditioning(rows[p]);
    const active = activeBounds(bound[p], solved.atLeast.subarray(at, at + bound[p].length));
    at += bound[p].length;
    return {
      impedance,
      ...residualOf(part.torque, (i) => impedanceTorque(impedance, part.angle[i], part.velocity[i])),
      condition,
      perNoise: { stiffness: perNoise[0], offset: perNoise[1], damping: perNoise[2] },
      active,
    };
  });
  return { subphases, continuity: solved.equal, objective: solved.objective };
}

const rowsOf = ({ angle, velocity }: JointSamples): Float64Array[] =>
  Array.from(angle, (theta, i) => Float64Array.of(-theta, 1, -velocity[i]));

/** RMS of fit − torque, and the share of the torque's variance that the fit makes. */
export function residualOf(
  torque: Float64Array,
  fitted: (index: number) => number,
): { readonly rms: number; readonly explained: number } {
  let mean = 0;
  for (const t of torque) mean += t / torque.length;
  let [missed, all] = [0, 0];
  for (let i = 0; i < torque.length; i++) {
    missed += (fitted(i) - torque[i]) ** 2;
    all += (torque[i] - mean) ** 2;
  }
  return { rms: Math.sqrt(missed / torque.length), explained: 1 - missed / all };
}
