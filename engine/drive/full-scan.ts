import type { ScanCandidates } from './scan-candidates.ts';
import { ROW, type ScanSamples } from './scan-samples.ts';

/** What the full model tells, candidate by candidate: entry candidate·tasks + task. */
export interface FullScan {
  /** Largest |τ_m| and √⟨τ_m²⟩, N·m. NaN where a task has no moment. */
  readonly peakTorque: Float64Array;
  readonly rmsTorque: Float64Array;
  /** A, peak phase, at the peak torque. NaN beyond saturation and without moment. */
  readonly peakCurrent: Float64Array;
  /** Least of limit ÷ |speed| where the joint moves. 0 where no current, no voltage or no bus can do it; without moment, unloaded. */
  readonly speedMargin: Float64Array;
  /** Least bus voltage, V; NaN where the bus cannot give the power at all, beyond saturation, and without moment. */
  readonly busVoltage: Float64Array;
  /** ⟨1.5·R·i²⟩, W. NaN beyond saturation. */
  readonly copper: Float64Array;
  /** Means over the stride of what the motor's terminals draw and of what they give back, W, both ≥ 0. */
  readonly drawn: Float64Array;
  readonly returned: Float64Array;
}

/** Room for `candidates` on `tasks`, used again from batch to batch. */
export function fullScanRoom(candidates: number, tasks: number): FullScan {
  const column = (): Float64Array => new Float64Array(candidates * tasks);
  return {
    peakTorque: column(),
    rmsTorque: column(),
    peakCurrent: column(),
    speedMargin: column(),
    busVoltage: column(),
    copper: column(),
    drawn: column(),
    returned: column(),
  };
}

/**
 * The full model of every candidate on every sample: saturation, inductance through the voltage circle, and a bus that sags under this
 * joint's own power.
 *
 *     τ_m = a·x,   i = (τ_m/K_t)/√(1 − (τ_m/(K_t·I_s))²),   P = τ_m·N·θ̇ + 1.5·R·i²
 *     V = [E + √(E² − 4·R_b·P)]/2,   (p·ω·L·i)² + (R·i + p·ω·λ)² ≤ (share·V)²
 *
 * The speed margin is ω_max/|ω| with ω_max on the circle at this instant's current and this instant's bus: at a margin of 1 that is the
 * bus at ω_max as well, so that what is within reach is exact; away from 1 it is a little kind above and a little harsh below. With
 * R_b = 0 it is that of `driveLoad`. Losses of the electronics and the other joint on the bus are not in it.
 *
 * The circle grows with speed from a standstill that is inside it, so an instant can lower the margin m only if it is outside at m·|ω|:
 * one comparison, and a root only where it is. Nothing is allocated.
 */
export function fullScan(samples: ScanSamples, c: ScanCandidates, out: FullScan): void {
  const { start, rows } = samples;
  const tasks = start.length - 1;
  for (let n = 0; n < c.count; n++) {
    const a0 = c.driving[n];
    const a1 = c.driven[n];
    const a2 = c.inertia[n];
    const a3 = c.viscous[n];
    const a4 = c.coulomb[n];
    const ratio = c.ratio[n];
    const constant = c.torqueConstant[n];
    const saturation = c.saturation[n];
    const R = c.resistance[n];
    const flux = c.fluxLinkage[n];
    const L = c.inductance[n];
    const pairs = c.polePairs[n];
    const share = c.voltageShare[n];
    const E = c.busVoltage[n];
    const square = E * E;
    const four = 4 * c.busResistance[n];
    for (let task = 0; task < tasks; task++) {
      const end = start[task + 1] * ROW;
      let peak = 0;
      let margin = Number.POSITIVE_INFINITY;
      let leastBus = square;
      let torqueSum = 0;
      let currentSum = 0;
      let power = 0;
      let flow = 0;
      for (let k = start[task] * ROW; k < end; k += ROW) {
        const v = rows[k + 3];
        const w = rows[k + 5];
        const torque = a0 * rows[k] + a1 * rows[k + 1] + a2 * rows[k + 2] + a3 * v + a4 * rows[k + 4];
        const size = Math.abs(torque);
        if (size > peak) peak = size;
        torqueSum += w * torque * torque;
        const part = torque * saturation;
        const left = 1 - part * part;
        // as `currentFor`: with no saturation the root is 1
        let i = left > 0 ? torque / constant / Math.sqrt(left) : Number.NaN;
        currentSum += w * i * i;
        let P = torque * ratio * v + 1.5 * R * i * i;
        power += w * P;
        flow += w * Math.abs(P);
        if (Number.isNaN(i)) {
          // beyond saturation there is no current and so no speed; without a moment, the unloaded limit
          if (!Number.isNaN(torque)) margin = 0;
          i = 0;
          P = 0;
        }
        const room = square - four * P;
        if (room < leastBus) leastBus = room;
        const bus = room >= 0 ? (E + Math.sqrt(room)) / 2 : 0;
        const volt = share * bus;
        const limit = volt * volt;
        const drop = R * R * i * i - limit;
        if (drop > 0) margin = 0;
        else {
          const q = v < 0 ? -i : i;
          const need = Math.abs(ratio * v);
          const electric = margin * need * pairs;
          const across = electric * L * i;
          const along = R * q + electric * flux;
          // also where the margin is still without bound and the product is no number
          if (!(across * across + along * along <= limit)) {
            const whole = L * L * i * i + flux * flux;
            const b = flux * R * q;
            const most = (-b + Math.sqrt(b * b - whole * drop)) / whole / pairs / need;
            if (most < margin) margin = most;
          }
        }
      }
      const at = n * tasks + task;
      const known = torqueSum >= 0;
      const part = peak * saturation;
      const left = 1 - part * part;
      out.peakTorque[at] = known ? peak : Number.NaN;
      out.rmsTorque[at] = Math.sqrt(torqueSum);
      out.peakCurrent[at] = known && left > 0 ? peak / constant / Math.sqrt(left) : Number.NaN;
      out.speedMargin[at] = margin;
      out.busVoltage[at] = currentSum >= 0 && leastBus >= 0 ? (E + Math.sqrt(leastBus)) / 2 : Number.NaN;
      out.copper[at] = 1.5 * R * currentSum;
      out.drawn[at] = (flow + power) / 2;
      out.returned[at] = (flow - power) / 2;
    }
  }
}
