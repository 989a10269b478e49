/** What the cells hold, J:  C·E, C in A·s, at the voltage in the middle of their charge. */
export const packEnergy = (capacity: number, openCircuitVoltage: number): number =>
  capacity * openCircuitVoltage;

/**
 * Strides on one charge:  u·E_pack/E_stride, with u the share of the charge that is used. +∞ for a stride that draws nothing on balance.
 * New cells at a temperature they like; old and cold ones hold less.
 */
export const stridesPerCharge = (energy: number, usableShare: number, strideEnergy: number): number =>
  strideEnergy > 0 ? (usableShare * energy) / strideEnergy : Number.POSITIVE_INFINITY;
