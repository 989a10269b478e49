/** What feeds the bus: cells behind one resistance, without a converter between pack and bus. */
export interface Supply {
  /** E: V without load. */
  readonly openCircuitVoltage: number;
  /** R_b: Ω of cells, leads and switches together; 0 is a bus that never sags. */
  readonly resistance: number;
  /** A the cells may give and take at the bus; left out: nothing holds the current. */
  readonly dischargeLimit?: number;
  readonly chargeLimit?: number;
}

/**
 * Bus voltage while `power` + `perVolt`·V is drawn, W; negative charges the cells:
 *
 *     V = E − R_b·I,  V·I = P + c·V   gives   V = (E′ + √(E′² − 4·R_b·P))/2,  E′ = E − R_b·c
 *
 * The root nearer to E is the one at which a drive can stay. NaN where the pack cannot give that power at any voltage.
 * Limits of the cells are not applied. Resistance without diffusion or temperature: COMMON PRACTICE, good for seconds.
 */
export function sagged(supply: Supply, power: number, perVolt = 0): number {
  const open = supply.openCircuitVoltage - supply.resistance * perVolt;
  const left = open * open - 4 * supply.resistance * power;
  return left < 0 ? Number.NaN : (open + Math.sqrt(left)) / 2;
}

/** A out of the cells at this power at the bus:  I = (E − √(E² − 4·R_b·P))/(2·R_b) = P/V; negative charges. NaN beyond `packLimit`. */
export const packCurrent = (supply: Supply, power: number): number => power / sagged(supply, power);

/** Largest power a pack can give at its terminals, W:  P_max = E²/(4·R_b), at half the open-circuit voltage. */
export const packLimit = ({ openCircuitVoltage: E, resistance }: Supply): number =>
  (E * E) / (4 * resistance);
