import { randomStream } from '../numeric/random.ts';

/**
 * Ground that is not level: height over its own ruler, m ahead of where the hip is at the start; the slope is its derivative everywhere, so that
 * a foot meets no edge. Writes height, m, and slope into `out`.
 */
export interface Terrain {
  readonly at: (x: number, out: Float64Array) => void;
  /** Mean slope, which the hip's height follows. */
  readonly rise: number;
}

/** tan of an angle up forwards: one plane through the start. */
export const slopeTerrain = (rise: number): Terrain => ({
  rise,
  at: (x, out) => {
    out[0] = rise * x;
    out[1] = rise;
  },
});

/**
 * One step of `height` m, up or down, at `place` m, its edge smoothed over `over` m:
 *
 *     h = H·(3u² − 2u³),   u = (x − place)/over + ½ within 0 … 1
 */
export const stepTerrain = (height: number, place: number, over: number): Terrain => ({
  rise: 0,
  at: (x, out) => {
    const u = Math.min(1, Math.max(0, (x - place) / over + 0.5));
    out[0] = height * u * u * (3 - 2 * u);
    out[1] = (height * 6 * u * (1 - u)) / over;
  },
});

/** Waves of uneven ground, and their longest and shortest, m: none much shorter than a foot, whose points would not see it. Our own choice. */
const WAVES = 12;
const LONGEST = 2;
const SHORTEST = 0.3;

/**
 * Uneven ground by chance: waves of even length in the logarithm and of random phase, `height` m RMS together.
 *
 *     h = Σ √(2/n)·σ·sin(2π·x/λ_k + φ_k)
 */
export function unevenTerrain(height: number, seed: number): Terrain {
  const { uniform } = randomStream(seed);
  const amplitude = Math.sqrt(2 / WAVES) * height;
  const waves = Float64Array.from(
    { length: WAVES },
    (_, k) => (2 * Math.PI) / (LONGEST * (SHORTEST / LONGEST) ** ((k + uniform()) / WAVES)),
  );
  const phases = Float64Array.from({ length: WAVES }, () => 2 * Math.PI * uniform());
  return {
    rise: 0,
    at: (x, out) => {
      let h = 0;
      let slope = 0;
      for (let k = 0; k < WAVES; k++) {
        h += amplitude * Math.sin(waves[k] * x + phases[k]);
        slope += amplitude * waves[k] * Math.cos(waves[k] * x + phases[k]);
      }
      out[0] = h;
      out[1] = slope;
    },
  };
}
