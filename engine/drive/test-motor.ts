// The motor and reduction that most check cases share, and how near a check must come. Read by tests only.
import { rad } from '../quantity/angle.ts';
import type { Motor, Transmission } from './leg-drive.ts';

/** Throws unless `got` is `want` within a relative 1e-4, as the checks are printed, or tighter. */
export function near(got: number, want: number, relative = 1e-4): void {
  if (!(Math.abs(got / want - 1) < relative)) throw new Error(`${got} against ${want}`);
}

export const motor: Motor = {
  name: 'check',
  polePairs: 14,
  fluxLinkage: 0.007,
  resistance: 0.08,
  referenceTemperature: 293.15,
  inductanceD: 90e-6,
  inductanceQ: 90e-6,
  rotorInertia: 3e-4,
  copperCoefficient: 0.00393,
  magnetCoefficient: -0.0012,
  coulombDrag: 0.022,
  viscousDrag: 1.5e-4,
  breakawayDrag: 0.03,
  peakCurrent: 60,
  mass: 0.5,
};
export const transmission: Transmission = {
  ratio: 16,
  inputInertia: 0,
  outputInertia: 0,
  drivingEfficiency: 0.93,
  backDrivenEfficiency: 0.93,
  outputCoulomb: 0.1,
  outputViscous: 0,
  outputBreakaway: 0.12,
  backlash: rad(0),
  torsionalStiffness: 900,
};
