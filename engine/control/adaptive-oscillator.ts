/** Gains of the oscillator, 1/s (ω: 1/s²). */
export interface OscillatorGains {
  readonly phase: number;
  readonly frequency: number;
  readonly amplitude: number;
}

/** Places in the oscillator's state: phase, rad; ω, rad/s; mean, rad; then the amplitudes of the harmonics, rad. */
export const OSCILLATOR = { phase: 0, omega: 1, mean: 2, first: 3 } as const;

/**
 * One step of an oscillator that learns frequency and shape of what it hears.
 *
 *     y = α_0 + Σ α_i·cos(iφ),  F = θ − y
 *     φ̇ = ω − ν_φ·F·sin φ/Σ|α_i|,   ω̇ = −ν_ω·F·sin φ/Σ|α_i|,   α̇_i = η·F·cos(iφ),   α̇_0 = η·F
 *
 * θ: thigh, rad; `state` is written in place, so that a tick allocates nothing. Explicit Euler. For comparison only: it has a
 * clock of its own and walks on while the wearer stands. After Righetti, Buchli & Ijspeert, Physica D 216 (2006) 269, and Ronsse
 * et al., Med. Biol. Eng. Comput. 49 (2011) 1173, both FROM MEMORY.
 */
export function oscillatorStep(state: Float64Array, gains: OscillatorGains, thigh: number, dt: number): void {
  const phase = state[0];
  let y = state[2];
  let size = 0;
  for (let i = 3; i < state.length; i++) {
    y += state[i] * Math.cos((i - 2) * phase);
    size += Math.abs(state[i]);
  }
  const error = thigh - y;
  const pull = (error * Math.sin(phase)) / size;
  state[0] = phase + dt * (state[1] - gains.phase * pull);
  state[1] -= dt * gains.frequency * pull;
  state[2] += dt * gains.amplitude * error;
  for (let i = 3; i < state.length; i++) state[i] += dt * gains.amplitude * error * Math.cos((i - 2) * phase);
}
