import type { Transmission } from './leg-drive.ts';
import type { ScanCandidates } from './scan-candidates.ts';
import { ROW, type ScanSamples } from './scan-samples.ts';

/**
 * Numbers of one task in a Gram list: the 14 products of the five columns that are not always 0, in the order of `gramOf`. A sample
 * either drives or is driven, so that the product of the first two columns is 0.
 */
const TERMS = 14;

/**
 * Means ⟨x_r·x_c⟩ over each task of the five columns x of `scanSamples`, task after task:
 *
 *     00 02 03 04   11 12 13 14   22 23 24   33 34   44
 *
 * Made once per set of strides; after that a candidate costs no pass over the samples.
 */
export function gramOf({ start, rows }: ScanSamples): Float64Array {
  const tasks = start.length - 1;
  const gram = new Float64Array(tasks * TERMS);
  for (let task = 0; task < tasks; task++) {
    const at = task * TERMS;
    for (let k = start[task] * ROW; k < start[task + 1] * ROW; k += ROW) {
      const w = rows[k + 5];
      const x0 = rows[k];
      const x1 = rows[k + 1];
      const x2 = rows[k + 2];
      const x3 = rows[k + 3];
      const x4 = rows[k + 4];
      gram[at] += w * x0 * x0;
      gram[at + 1] += w * x0 * x2;
      gram[at + 2] += w * x0 * x3;
      gram[at + 3] += w * x0 * x4;
      gram[at + 4] += w * x1 * x1;
      gram[at + 5] += w * x1 * x2;
      gram[at + 6] += w * x1 * x3;
      gram[at + 7] += w * x1 * x4;
      gram[at + 8] += w * x2 * x2;
      gram[at + 9] += w * x2 * x3;
      gram[at + 10] += w * x2 * x4;
      gram[at + 11] += w * x3 * x3;
      gram[at + 12] += w * x3 * x4;
      gram[at + 13] += w * x4 * x4;
    }
  }
  return gram;
}

/**
 * Mean square of the motor torque and net electrical power of every candidate on every task, without a pass over the samples:
 *
 *     ⟨τ_m²⟩ = aᵀ·Q·a,   ⟨P⟩ = N·aᵀ·⟨x·θ̇⟩ + 1.5·R/K_t²·⟨τ_m²⟩
 *
 * Exact for the linear model, to rounding: 14 multiply-adds a task, whatever the number of samples. With saturation, or copper whose
 * resistance changes within the stride, current is not proportional to torque, and only ⟨τ_m²⟩ still holds. What is drawn and what is
 * returned apart is not in it: their signs change within the stride.
 *
 * Entry candidate·tasks + task of both outputs.
 */
export function gramScan(
  gram: Float64Array,
  c: ScanCandidates,
  out: { readonly torqueSquare: Float64Array; readonly netPower: Float64Array },
): void {
  const tasks = gram.length / TERMS;
  const { torqueSquare, netPower } = out;
  for (let n = 0; n < c.count; n++) {
    const a0 = c.driving[n];
    const a1 = c.driven[n];
    const a2 = c.inertia[n];
    const a3 = c.viscous[n];
    const a4 = c.coulomb[n];
    const N = c.ratio[n];
    const heat = (1.5 * c.resistance[n]) / (c.torqueConstant[n] * c.torqueConstant[n]);
    for (let task = 0; task < tasks; task++) {
      const g = task * TERMS;
      const square =
        a0 * (a0 * gram[g] + 2 * (a2 * gram[g + 1] + a3 * gram[g + 2] + a4 * gram[g + 3])) +
        a1 * (a1 * gram[g + 4] + 2 * (a2 * gram[g + 5] + a3 * gram[g + 6] + a4 * gram[g + 7])) +
        a2 * (a2 * gram[g + 8] + 2 * (a3 * gram[g + 9] + a4 * gram[g + 10])) +
        a3 * (a3 * gram[g + 11] + 2 * a4 * gram[g + 12]) +
        a4 * a4 * gram[g + 13];
      const speed =
        a0 * gram[g + 2] + a1 * gram[g + 6] + a2 * gram[g + 9] + a3 * gram[g + 11] + a4 * gram[g + 12];
      const at = n * tasks + task;
      torqueSquare[at] = square;
      netPower[at] = N * speed + heat * square;
    }
  }
}

/**
 * Mean heat of all friction in one task, W, for candidate n: what the shaft puts in less what is stored and delivered, as `strideHeat`.
 *
 *     P_h = N·aᵀ·⟨x·θ̇⟩ − N²·(J_m + J_in)·⟨θ̇·θ̈⟩ − ⟨τ_g·θ̇⟩ + τ_c,out·⟨|θ̇|⟩ + b_out·⟨θ̇²⟩
 *
 * Only torque is in it, so that saturation does not change it.
 */
export function frictionHeat(
  gram: Float64Array,
  task: number,
  c: ScanCandidates,
  n: number,
  { outputCoulomb, outputViscous }: Pick<Transmission, 'outputCoulomb' | 'outputViscous'>,
): number {
  const g = task * TERMS;
  const mesh = gram[g + 2] + gram[g + 6];
  const shaft =
    c.driving[n] * gram[g + 2] +
    c.driven[n] * gram[g + 6] +
    c.viscous[n] * gram[g + 11] +
    c.coulomb[n] * gram[g + 12];
  return c.ratio[n] * shaft - mesh + outputCoulomb * gram[g + 12] + outputViscous * gram[g + 11];
}
