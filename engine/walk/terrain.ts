import { randomStream } from '../numeric/random.ts';

/**
 * Ground that is not level: height over its own ruler, m ahead of where the hip is at the start; the slope is its derivative everywhere, so that
 * a foot meets no edge. Writes height, m, and slope into `out`.
 */
export interface Terrain {
  readonly at: (x: number, out: Float64Array) => void;
  /** The same of what the hip follows: the ground without what is shorter than a stride. */
  readonly lift: (x: number, out: Float64Array) => void;
  /** rad by which the whole leg is turned against the vertical: that of a slope. */
  readonly tilt: number;
  /** The same where it changes on the way: angle, rad, and its first and second derivative over x, 1/m and 1/m², of a hip at x, into `out`. */
  readonly lean?: (x: number, out: Float64Array) => void;
}

/** Ground as a study writes it: rad; m, m, m; m RMS and any integer. */
export type TerrainShape =
  | {
      readonly kind: 'slope';
      readonly angle: number;
      /** Level up to `from` m, then more and more over `over` m. Left out: from the beginning, and before. */
      readonly onset?: { readonly from: number; readonly over: number };
    }
  | { readonly kind: 'step'; readonly height: number; readonly at: number; readonly over: number }
  | { readonly kind: 'uneven'; readonly height: number; readonly seed: number }
  | TreadsShape;

/** Risers one after another, each up or down by `height` m at `at` m, its edge rounded over `over` m; before the first the ground is at `from` m. */
export interface TreadsShape {
  readonly kind: 'treads';
  readonly from: number;
  readonly risers: readonly { readonly at: number; readonly height: number }[];
  readonly over: number;
}

export function terrainOf(shape: TerrainShape): Terrain {
  if (shape.kind === 'slope')
    return shape.onset === undefined ? slopeTerrain(shape.angle) : rampTerrain(shape.angle, shape.onset);
  if (shape.kind === 'step') return stepTerrain(shape.height, shape.at, shape.over);
  if (shape.kind === 'treads') return treadsTerrain(shape);
  return unevenTerrain(shape.height, shape.seed);
}

/** Level between risers, each as a step of its own; the hip has a course of its own over them. */
function treadsTerrain({ from, risers, over }: TreadsShape): Terrain {
  const edges = risers.map(({ at, height }) => stepTerrain(height, at, over).at);
  const one = new Float64Array(2);
  return {
    tilt: 0,
    lift: level,
    at: (x, out) => {
      let h = from;
      let slope = 0;
      for (const edge of edges) {
        edge(x, one);
        h += one[0];
        slope += one[1];
      }
      out[0] = h;
      out[1] = slope;
    },
  };
}

const level = (_: number, out: Float64Array): void => {
  out[0] = 0;
  out[1] = 0;
};

/** A plane through the start, `angle` rad up forwards. */
export function slopeTerrain(angle: number): Terrain {
  const rise = Math.tan(angle);
  const at = (x: number, out: Float64Array): void => {
    out[0] = rise * x;
    out[1] = rise;
  };
  return { at, lift: at, tilt: angle };
}

/**
 * A slope of `angle` rad after level ground. Its tangent and the lean of the leg grow alike:
 *
 *     h′ = tan γ·S(u),   lean = γ·S(u),   S = 3u² − 2u³,   u = (x − from)/over within 0 … 1
 *     h = tan γ·over·(u³ − u⁴/2), and on at tan γ from there
 *
 * The wearer leans with the ground under the hip: our own proposal.
 */
function rampTerrain(
  angle: number,
  { from, over }: { readonly from: number; readonly over: number },
): Terrain {
  const rise = Math.tan(angle);
  const share = (x: number): number => Math.min(1, Math.max(0, (x - from) / over));
  const at = (x: number, out: Float64Array): void => {
    const u = share(x);
    out[0] = rise * (over * u * u * u * (1 - u / 2) + Math.max(0, x - from - over));
    out[1] = rise * u * u * (3 - 2 * u);
  };
  return {
    at,
    lift: at,
    tilt: 0,
    lean: (x, out) => {
      const u = share(x);
      out[0] = angle * u * u * (3 - 2 * u);
      out[1] = (angle * 6 * u * (1 - u)) / over;
      out[2] = u > 0 && u < 1 ? (angle * 6 * (1 - 2 * u)) / (over * over) : 0;
    },
  };
}

/** m over which the hip follows a step. Our own choice: somewhat more than a step of the wearer. */
const LIFT = 1;

/**
 * One step of `height` m, up or down, at `place` m, its edge smoothed over `over` m:
 *
 *     h = H·(3u² − 2u³),   u = (x − place)/over + ½ within 0 … 1
 *
 * The hip follows alike, over a metre.
 */
export function stepTerrain(height: number, place: number, over: number): Terrain {
  const edge =
    (width: number) =>
    (x: number, out: Float64Array): void => {
      const u = Math.min(1, Math.max(0, (x - place) / width + 0.5));
      out[0] = height * u * u * (3 - 2 * u);
      out[1] = (height * 6 * u * (1 - u)) / width;
    };
  return { at: edge(over), lift: edge(Math.max(over, LIFT)), tilt: 0 };
}

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
    tilt: 0,
    lift: level,
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
