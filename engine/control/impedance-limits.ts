import type { DrivenJoint } from '../gait/stride.ts';

/** Least and greatest, per kilogram of body mass. */
interface PerMass {
  readonly low: number;
  readonly high: number;
}

/**
 * Bounds of a fit to walking, N·m/kg/rad and N·m·s/kg/rad: what a fit may find and still be a joint's.
 *
 * Ankle 0.5 to 9: slopes of torque over angle of the shipped strides run from 0.3 in loading to 7.7 late in stance. Knee 0.1 to 6: twice the
 * steepest slope of its stance, 2.9. Damping from none to 0.24: three times the largest that was measured by perturbation. All three our
 * own choice. They bound a quasi-stiffness; what perturbations measure, PUBLISHED_IMPEDANCE, is lower and no bound here.
 */
export const IMPEDANCE_LIMITS: {
  readonly [joint in DrivenJoint]: { readonly stiffness: PerMass; readonly damping: PerMass };
} = {
  ankle: { stiffness: { low: 0.5, high: 9 }, damping: { low: 0, high: 0.24 } },
  knee: { stiffness: { low: 0.1, high: 6 }, damping: { low: 0, high: 0.24 } },
};

/** cond(A) from which on K, c and B count as not told apart. Our choice: noise of 1 part in 10⁴ then spoils the whole. */
export const WORST_CONDITION = 1e4;

/** RMS residual ÷ largest torque of stance beyond which a schedule does not follow a stride. Our choice. */
export const POOR_FIT = 0.1;
