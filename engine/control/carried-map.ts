import type { SwingMap } from './swing-map.ts';

/** A map from thigh to phase as a controller carries it. */
export interface CarriedMap {
  readonly map: SwingMap;
  /** 1: the thigh goes forward, swing. −1: it goes back, stance; the map is of −θ. */
  readonly sign: 1 | -1;
  /** Stride phase → place in a schedule: 1/stance share; 1 for swing. */
  readonly scale: number;
  /** Strides a second of the reference. */
  readonly pace: number;
}
