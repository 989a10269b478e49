import type { DrivenJoint } from '../gait/stride.ts';

/** One published impedance of a joint in stance. */
export interface PublishedImpedance {
  readonly joint: DrivenJoint;
  readonly when: string;
  /** N·m/rad and N·m·s/rad, of the person, or per kilogram where `perMass`. Left out: not published there. */
  readonly stiffness?: number;
  readonly damping?: number;
  /** rad, flexion and dorsiflexion positive. */
  readonly equilibrium?: number;
  readonly perMass: boolean;
  /** perturbation: what a push meets. tuned: set by hand on a prosthesis until it walked. */
  readonly how: 'perturbation' | 'tuned';
  readonly source: string;
}

const PUSHED =
  'Ficanha, Ribeiro, Knop & Rastgaar, J. Medical Devices 12 (2018) 011010, abstract: four men, straight walking';
const TUNED =
  'Sup, Varol, Mitchell, Withrow & Goldfarb, IEEE/ASME Trans. Mechatronics 14 (2009) 667–676, table III: one user above the knee, treadmill, 2.8 km/h; printed per degree';

const RADIAN = 180 / Math.PI;
const tuned = (
  joint: DrivenJoint,
  phase: number,
  k: number,
  b: number,
  degrees: number,
): PublishedImpedance => ({
  joint,
  when: `phase ${phase} of five`,
  stiffness: k * RADIAN,
  damping: b * RADIAN,
  equilibrium: degrees / RADIAN,
  perMass: false,
  how: 'tuned',
  source: TUNED,
});
const pushed = (when: string, of: { stiffness: number } | { damping: number }): PublishedImpedance => ({
  joint: 'ankle',
  when,
  ...of,
  perMass: true,
  how: 'perturbation',
  source: PUSHED,
});

/**
 * Cited facts, to stand beside a fit and never its bound. Read in the abstract or table named. Of the five tuned phases those of swing, 3 and 4,
 * are left out; the user's body mass is not with them.
 */
export const PUBLISHED_IMPEDANCE: readonly PublishedImpedance[] = [
  pushed('7 % of stance, least mean', { stiffness: 1.14 }),
  pushed('31 % of stance, greatest mean', { stiffness: 5.43 }),
  pushed('7 % of stance, least mean', { damping: 0.016 }),
  pushed('38 % of stance, greatest mean', { damping: 0.08 }),
  tuned('ankle', 0, 3, 0.04, -1),
  tuned('ankle', 1, 5, 0.04, 0),
  tuned('ankle', 2, 5, 0.01, -16),
  tuned('knee', 0, 2.5, 0.05, 10),
  tuned('knee', 1, 5, 0.06, 6),
  tuned('knee', 2, 3.5, 0.02, 14),
];
