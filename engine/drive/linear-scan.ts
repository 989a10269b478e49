import type { ScanCandidates } from './scan-candidates.ts';
import { ROW, type ScanSamples } from './scan-samples.ts';

/** What the linear model tells, candidate by candidate: entry candidate·tasks + task. NaN where a task has no moment. */
export interface LinearScan {
  /** Largest |τ_m| and √⟨τ_m²⟩, N·m. */
  readonly peakTorque: Float64Array;
  readonly rmsTorque: Float64Array;
  /** Largest |R·i + p·λ·ω|, V peak phase: what the motor asks for, without its inductance. */
  readonly peakVoltage: Float64Array;
  /** ⟨1.5·R·i²⟩, W. */
  readonly copper: Float64Array;
  /** Means over the stride of what the motor's terminals draw and of what they give back, W, both ≥ 0. */
  readonly drawn: Float64Array;
  readonly returned: Float64Array;
}

/** Room for `candidates` on `tasks`, used again from batch to batch. */
export function linearScanRoom(candidates: number, tasks: number): LinearScan {
  const column = (): Float64Array => new Float64Array(candidates * tasks);
  return {
    peakTorque: column(),
    rmsTorque: column(),
    peakVoltage: column(),
    copper: column(),
    drawn: column(),
    returned: column(),
  };
}

/**
 * The linear model of every candidate on every sample: no saturation, no inductance, stiff bus.
 *
 *     τ_m = a·x,   i = τ_m/K_t,   u = R·i + p·λ·N·θ̇,   P = τ_m·N·θ̇ + 1.5·R·i² = 1.5·i·u,   K_t = 1.5·p·λ
 *
 * The loop works with τ_m/a_0 and u·K_t/(R·a_0), which saves a third of its products; the scale is put back after it. Peak current is
 * peak torque over K_t. Two candidates share each pass over the samples, so that their sums do not wait for one another; an odd last
 * one is its own partner. Nothing is allocated.
 */
export function linearScan(samples: ScanSamples, c: ScanCandidates, out: LinearScan): void {
  const { start, rows } = samples;
  const { peakTorque, rmsTorque, peakVoltage, copper, drawn, returned } = out;
  const tasks = start.length - 1;
  for (let p = 0; p < c.count; p += 2) {
    const q = p + 1 < c.count ? p + 1 : p;
    const pScale = c.driving[p];
    const pDriven = c.driven[p] / pScale;
    const pInertia = c.inertia[p] / pScale;
    const pViscous = c.viscous[p] / pScale;
    const pCoulomb = c.coulomb[p] / pScale;
    const pOhm = (c.resistance[p] / c.torqueConstant[p]) * pScale;
    const pBack = (c.polePairs[p] * c.fluxLinkage[p] * c.ratio[p]) / pOhm;
    const pWatt = (1.5 / c.torqueConstant[p]) * pScale * pOhm;
    const qScale = c.driving[q];
    const qDriven = c.driven[q] / qScale;
    const qInertia = c.inertia[q] / qScale;
    const qViscous = c.viscous[q] / qScale;
    const qCoulomb = c.coulomb[q] / qScale;
    const qOhm = (c.resistance[q] / c.torqueConstant[q]) * qScale;
    const qBack = (c.polePairs[q] * c.fluxLinkage[q] * c.ratio[q]) / qOhm;
    const qWatt = (1.5 / c.torqueConstant[q]) * qScale * qOhm;
    for (let task = 0; task < tasks; task++) {
      const end = start[task + 1] * ROW;
      let pPeak = 0;
      let pVolt = 0;
      let pSquare = 0;
      let pPower = 0;
      let pFlow = 0;
      let qPeak = 0;
      let qVolt = 0;
      let qSquare = 0;
      let qPower = 0;
      let qFlow = 0;
      for (let k = start[task] * ROW; k < end; k += ROW) {
        const x0 = rows[k];
        const x1 = rows[k + 1];
        const x2 = rows[k + 2];
        const x3 = rows[k + 3];
        const x4 = rows[k + 4];
        const w = rows[k + 5];

        const pT = x0 + pDriven * x1 + pInertia * x2 + pViscous * x3 + pCoulomb * x4;
        const pV = pT + pBack * x3;
        const pA = Math.abs(pT);
        const pU = Math.abs(pV);
        const pW = w * pT;
        const pP = pW * pV;
        if (pA > pPeak) pPeak = pA;
        if (pU > pVolt) pVolt = pU;
        pSquare += pW * pT;
        pPower += pP;
        pFlow += Math.abs(pP);

        const qT = x0 + qDriven * x1 + qInertia * x2 + qViscous * x3 + qCoulomb * x4;
        const qV = qT + qBack * x3;
        const qA = Math.abs(qT);
        const qU = Math.abs(qV);
        const qW = w * qT;
        const qP = qW * qV;
        if (qA > qPeak) qPeak = qA;
        if (qU > qVolt) qVolt = qU;
        qSquare += qW * qT;
        qPower += qP;
        qFlow += Math.abs(qP);
      }
      const a = p * tasks + task;
      const b = q * tasks + task;
      // a comparison passes NaN over, a sum does not
      peakTorque[a] = pSquare >= 0 ? pScale * pPeak : Number.NaN;
      peakVoltage[a] = pSquare >= 0 ? pOhm * pVolt : Number.NaN;
      rmsTorque[a] = pScale * Math.sqrt(pSquare);
      copper[a] = pWatt * pSquare;
      drawn[a] = (pWatt * (pFlow + pPower)) / 2;
      returned[a] = (pWatt * (pFlow - pPower)) / 2;
      peakTorque[b] = qSquare >= 0 ? qScale * qPeak : Number.NaN;
      peakVoltage[b] = qSquare >= 0 ? qOhm * qVolt : Number.NaN;
      rmsTorque[b] = qScale * Math.sqrt(qSquare);
      copper[b] = qWatt * qSquare;
      drawn[b] = (qWatt * (qFlow + qPower)) / 2;
      returned[b] = (qWatt * (qFlow - qPower)) / 2;
    }
  }
}
