/** Largest brake resistor, Ω, that takes `power` W at `voltage` V:  R = V²/P. */
export const brakeResistorFor = (voltage: number, power: number): number => (voltage * voltage) / power;

/** Share of the time a brake resistor is on to take `mean` W at `voltage` V:  duty = P̄/(V²/R). Above 1 it cannot. */
export const brakeDuty = (voltage: number, resistance: number, mean: number): number =>
  (mean * resistance) / (voltage * voltage);

/** Voltage of a capacitor after it has taken `energy` J:  V = √(V_0² + 2·E/C). NaN where it does not hold what is taken out of it. */
export const capacitorVoltage = (voltage: number, capacitance: number, energy: number): number =>
  Math.sqrt(voltage * voltage + (2 * energy) / capacitance);
