/** How the controller reads the stride phase from the thigh. */
export type PhaseMethod = 'latch' | 'piecewise' | 'plane' | 'oscillator';

export const PHASE_METHODS: readonly PhaseMethod[] = ['latch', 'piecewise', 'plane', 'oscillator'];

/** Phases that a thigh without a foot on the ground can be read by: the two straight lines need to know when it is loaded. */
export type HandMethod = Exclude<PhaseMethod, 'piecewise'>;
export const HAND_METHODS: readonly HandMethod[] = ['latch', 'plane', 'oscillator'];
