/**
 * Rms current in the capacitor of a three-phase bridge, A, for sinusoidal phase currents of rms `current`:
 *
 *     I_C = I·√(2M·[√3/(4π) + cos²φ·(√3/π − 9M/16)])
 *
 * M: peak phase voltage ÷ half the bus voltage, 0 to 2/√3. φ: between phase voltage and current. Carrier far above the electrical
 * frequency; the pack takes the mean and the capacitor all the rest. Kolar & Round, IEE Proc. Electric Power Applications 153 (2006)
 * 535–543 (FROM MEMORY); the test adds up the pulses.
 */
export function rippleCurrent(current: number, modulation: number, powerFactor: number): number {
  const square =
    2 *
    modulation *
    (Math.sqrt(3) / (4 * Math.PI) +
      powerFactor * powerFactor * (Math.sqrt(3) / Math.PI - (9 * modulation) / 16));
  return current * Math.sqrt(square);
}

/** J that a capacitor takes from `from` to `to` volts:  ½·C·(V₂² − V₁²). */
export const capacitorEnergy = (capacitance: number, from: number, to: number): number =>
  0.5 * capacitance * (to * to - from * from);

/** V of a capacitor that stood at `voltage` and took `energy`, J:  √(V² + 2·E/C). */
export const chargedTo = (capacitance: number, voltage: number, energy: number): number =>
  Math.sqrt(voltage * voltage + (2 * energy) / capacitance);
