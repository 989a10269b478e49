import type { Motor, Transmission } from './leg-drive.ts';

/**
 * Inertia of rotor and gears seen at the joint, kg·m²:  J_ref = N²·(J_m + J_in) + J_out.
 * Rotor seen from the joint as N²·J: Lynch & Park, Modern Robotics (Cambridge UP, 2017), §8.9.
 */
export const reflectedInertia = (motor: Motor, t: Transmission): number =>
  t.ratio * t.ratio * (motor.rotorInertia + t.inputInertia) + t.outputInertia;
