// The invented winding and housing of the heat checks, and a load of so many watts. Read by tests only.
import type { HeatLoad } from './heat-load.ts';
import type { HeatPath } from './heat-nodes.ts';
import type { JointThermal } from './leg-drive.ts';
import { motor } from './test-motor.ts';

export const celsius = (t: number): number => t + 273.15;

export const thermal: JointThermal = {
  windingToHousing: 0.55,
  housingToAmbient: 2.2,
  windingCapacity: 60,
  housingCapacity: 350,
  windingLimit: celsius(120),
};

/** K_m = 0.41 N·m/√W at 20 °C: λ = 0.41·√(1.5·R)/(1.5·p). Magnets that heat does not weaken, as the checks take them. */
export const path: HeatPath = {
  motor: {
    ...motor,
    magnetCoefficient: 0,
    fluxLinkage: (0.41 * Math.sqrt(1.5 * motor.resistance)) / (1.5 * motor.polePairs),
  },
  thermal,
  ambient: celsius(25),
};

/** Copper loss of so many watts at 20 °C that magnets do not change. */
export const watts = (copper: number, more: Partial<HeatLoad> = {}): HeatLoad => ({
  copper,
  fluxExponent: 0,
  friction: 0,
  rotor: 'turning',
  ...more,
});
