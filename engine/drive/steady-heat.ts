import type { HeatLoad } from './heat-load.ts';
import { type HeatPath, lossAt, PHASE_SHARES } from './heat-nodes.ts';
import { fluxFactor, resistanceFactor, torqueOf } from './motor-torque.ts';

/** Temperatures at which a load for ever comes to rest, K; both +∞ where it never does. */
export interface SteadyHeat {
  /** Of the hottest phase. */
  readonly winding: number;
  readonly housing: number;
}

const RUNAWAY: SteadyHeat = { winding: Number.POSITIVE_INFINITY, housing: Number.POSITIVE_INFINITY };

/**
 * Rounds of the magnets' feedback: each shrinks the error by about 2·|α_B|·(T_h − T_a), a tenth for ordinary magnets; what has not
 * settled after this many runs away.
 */
const ROUNDS = 200;

/** K within which two rounds agree. */
const SETTLED = 1e-9;

/**
 * Steady temperatures in closed form, with the copper's feedback:
 *
 *     G = Σ_k (s_k·P/3)/(1 − α·R_wh·s_k·P)
 *     T_h = (T_a + R_ha·[G·(1 − α·T_0) + P_h])/(1 − α·R_ha·G)
 *     T_k = T_h + R_wh·s_k·P·[1 + α·(T_h − T_0)]/(1 − α·R_wh·s_k·P)
 *
 * which for s_k = 1, P_h = 0 is  T_w = T_a + R_t·P·[1 + α·(T_a − T_0)]/(1 − α·P·R_t), R_t = R_wh + R_ha.
 * Runaway where a denominator is not above zero: turning from P = 1/(α·R_t) on. The magnets' feedback, P = P_0·f(T_h)^{−n}, is put
 * in round by round.
 */
export function steadyHeat(path: HeatPath, load: HeatLoad): SteadyHeat {
  let housing = path.ambient;
  for (let round = 0; round < ROUNDS; round++) {
    const next = atLoss(path, load, lossAt(path, load, housing));
    if (next.housing === Number.POSITIVE_INFINITY) return RUNAWAY;
    if (!(Math.abs(next.housing - housing) > SETTLED)) return next;
    housing = next.housing;
  }
  return RUNAWAY;
}

function atLoss({ motor, thermal: h, ambient }: HeatPath, load: HeatLoad, loss: number): SteadyHeat {
  const alpha = motor.copperCoefficient;
  const [hottest, other] = PHASE_SHARES[load.rotor];
  const left = 1 - alpha * h.windingToHousing * hottest * loss;
  const others = 1 - alpha * h.windingToHousing * other * loss;
  const gain = (hottest * loss) / 3 / left + (2 * other * loss) / 3 / others;
  const room = 1 - alpha * h.housingToAmbient * gain;
  if (left <= 0 || room <= 0) return RUNAWAY;
  const housing =
    (ambient + h.housingToAmbient * (gain * (1 - alpha * motor.referenceTemperature) + load.friction)) / room;
  const winding = housing + (h.windingToHousing * hottest * loss * resistanceFactor(motor, housing)) / left;
  return { winding, housing };
}

/** Mean copper loss, W at the reference temperature, from which on a turning motor has no steady state:  1/(α·(R_wh + R_ha)). */
export const runawayLoss = ({ motor, thermal: h }: HeatPath): number =>
  1 / (motor.copperCoefficient * (h.windingToHousing + h.housingToAmbient));

/**
 * Motor torque that may be held for ever while turning, N·m, without friction:
 *
 *     P_0 = (T_max − T_a)/(R_t·[1 + α·(T_max − T_0)]),   i = √(P_0/(1.5·R)),   τ = f(T_m)·τ(i)
 *
 * Without saturation this is K_m·f(T_m)·√P_0. `magnet` is the magnets' temperature, K; left out, they are as hot as the housing then is,
 * T_a + (R_ha/R_t)·(T_max − T_a). NaN where the limit is not above the air.
 */
export function continuousMotorTorque(path: HeatPath, magnet?: number): number {
  const { motor, thermal: h, ambient } = path;
  const total = h.windingToHousing + h.housingToAmbient;
  const rise = h.windingLimit - ambient;
  const loss = rise / (total * resistanceFactor(motor, h.windingLimit));
  const current = Math.sqrt(loss / (1.5 * motor.resistance));
  const magnets = magnet ?? ambient + (h.housingToAmbient / total) * rise;
  return fluxFactor(motor, magnets) * torqueOf(motor, current);
}
