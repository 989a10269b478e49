import type { Inverter } from './leg-drive.ts';

/** A three-phase bridge whose losses are known. Without a dead time none is counted. */
export type Bridge = Required<Omit<Inverter, 'deadTime'>> & Pick<Inverter, 'deadTime'>;

/** Mean of |sin| over a half turn: a phase carries 2·î/π on average. */
const MEAN = 2 / Math.PI;

/** W in the switches while they conduct, whatever the bus voltage:  3·R_on·(î/√2)² = 1.5·R_on·î². */
export const conductionLoss = ({ onResistance }: Bridge, current: number): number =>
  1.5 * onResistance * current * current;

/** W in the diodes while neither switch of a leg is on:  3·V_F·(2î/π)·2·t_d·f_s; 0 where no dead time is known. */
export const deadTimeLoss = ({ deadTime, switchingFrequency }: Bridge, current: number): number =>
  deadTime === undefined
    ? 0
    : 3 * deadTime.diodeVoltage * MEAN * Math.abs(current) * 2 * deadTime.time * switchingFrequency;

/**
 * Switching loss ÷ bus voltage, A:  3·f_s·½·(2î/π)·t_s. Charge of diodes and output capacitance is not in it: small beside this at tens of
 * volts, and no leg file says it.
 */
export const switchingPerVolt = ({ switchingFrequency, switchingTime }: Bridge, current: number): number =>
  1.5 * switchingFrequency * MEAN * Math.abs(current) * switchingTime;

/**
 * What a bridge loses at peak phase current `current`, A, on a bus of `busVoltage`, W: averages over an electrical turn of sinusoidal
 * current, so for a rotor that turns. Stalled, one phase carries up to î and another none; the sum of squares is the same.
 */
export const inverterLoss = (bridge: Bridge, current: number, busVoltage: number): number =>
  conductionLoss(bridge, current) +
  deadTimeLoss(bridge, current) +
  busVoltage * switchingPerVolt(bridge, current) +
  bridge.quiescentPower;
