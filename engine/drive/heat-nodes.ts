import type { Derivative } from '../numeric/runge-kutta.ts';
import type { HeatLoad } from './heat-load.ts';
import type { JointThermal, Motor } from './leg-drive.ts';

/** Winding and housing of one joint in air of `ambient`, K. */
export interface HeatPath {
  readonly motor: Motor;
  readonly thermal: JointThermal;
  readonly ambient: number;
}

/**
 * Loss of one phase ÷ mean of the three, for the hottest phase and for each of the two others.
 *
 * Turning: 1 and 1. Stalled, with phase currents I·cos(ϑ − 2πk/3), the losses are R·I²·cos²(ϑ − 2πk/3): they sum to 1.5·R·I² at any
 * ϑ, and the largest is cos²ϑ ÷ ½ of the mean for |ϑ| ≤ 30°, which is 1.5 at 30° (two phases alike, the third without current)
 * and 2 at ϑ = 0 (the two others ½ each). The worst angle is taken: nobody chooses where a joint comes to rest.
 */
export const PHASE_SHARES = { turning: [1, 1], stalled: [2, 0.5] } as const;

/** Index of each temperature in a state: hottest phase, the two others (alike), housing. */
export const HOTTEST = 0;
export const OTHERS = 1;
export const HOUSING = 2;

/** Copper loss with the magnets' flux at its factor f, W at the reference temperature of the copper:  P_0·f^{−n}, magnets as hot as the housing. */
export function lossAt({ motor }: HeatPath, load: HeatLoad, housing: number): number {
  if (load.fluxExponent === 0) return load.copper;
  const flux = 1 + motor.magnetCoefficient * (housing - motor.referenceTemperature);
  return load.fluxExponent === 2 ? load.copper / (flux * flux) : load.copper * flux ** -load.fluxExponent;
}

/**
 * Heat balance of the hottest phase, the other two, and the housing, K/s:
 *
 *     (C_w/3)·Ṫ_k = s_k·(P/3)·[1 + α·(T_k − T_0)] − (T_k − T_h)/(3·R_wh)
 *     C_h·Ṫ_h = Σ_k (T_k − T_h)/(3·R_wh) + P_h − (T_h − T_a)/R_ha
 *
 * Each phase has a third of the winding's copper and of its contact with the housing; heat from phase to phase is left out, which
 * makes a stalled phase hotter than it is. With s_k = 1 it is the two-node model of winding and housing. Rotor and magnets have no
 * node: they follow the housing, our assumption.
 */
export function heatBalance(path: HeatPath, load: HeatLoad): Derivative {
  const { motor, thermal: h, ambient } = path;
  const [hottest, other] = PHASE_SHARES[load.rotor];
  const alpha = motor.copperCoefficient;
  const reference = motor.referenceTemperature;
  const { windingToHousing, windingCapacity, housingToAmbient, housingCapacity } = h;
  return (T, out) => {
    const a = T[HOTTEST];
    const b = T[OTHERS];
    const housing = T[HOUSING];
    const loss = lossAt(path, load, housing);
    const winding = (a + 2 * b) / 3;
    out[HOTTEST] =
      (hottest * loss * (1 + alpha * (a - reference)) - (a - housing) / windingToHousing) / windingCapacity;
    out[OTHERS] =
      (other * loss * (1 + alpha * (b - reference)) - (b - housing) / windingToHousing) / windingCapacity;
    out[HOUSING] =
      ((winding - housing) / windingToHousing + load.friction - (housing - ambient) / housingToAmbient) /
      housingCapacity;
  };
}

/** All nodes at the air's temperature. */
export const coldState = (ambient: number): Float64Array => new Float64Array(3).fill(ambient);

/**
 * The two time constants of winding and housing without copper feedback, s, the shorter first: −1/eigenvalues of
 *
 *     [[−1/(C_w·R_wh), 1/(C_w·R_wh)], [1/(C_h·R_wh), −(1/R_wh + 1/R_ha)/C_h]]
 *
 * With trace −b and determinant c they are (b ± √(b² − 4c))/(2c), both real.
 */
export function heatTimeConstants(h: JointThermal): readonly [short: number, long: number] {
  const winding = 1 / (h.windingCapacity * h.windingToHousing);
  const housing = (1 / h.windingToHousing + 1 / h.housingToAmbient) / h.housingCapacity;
  const b = winding + housing;
  const c = winding / (h.housingCapacity * h.housingToAmbient);
  const long = (b + Math.sqrt(b * b - 4 * c)) / (2 * c);
  return [1 / (c * long), long];
}

/** Longest step that integrates these nodes well, s: half of the inverse trace, a fifth of what stability allows. */
export const heatStep = (h: JointThermal): number =>
  0.5 /
  (1 / (h.windingCapacity * h.windingToHousing) +
    (1 / h.windingToHousing + 1 / h.housingToAmbient) / h.housingCapacity);
