import {
  type GainGrid,
  type GainMap,
  gainMap,
  type Load,
  loopPolynomial,
  type SampledJoint,
} from '@striderule/engine';

// The map of gains away from the page: forty thousand loops would stop a drag.

/** One joint, what it carries, and the gains that are looked at. */
export interface MapAsk {
  readonly joint: SampledJoint;
  readonly loads: readonly Load[];
  readonly grid: GainGrid;
}

export interface MapAnswer {
  readonly map: GainMap;
  /** s that it took. */
  readonly took: number;
}

export function answerMap({ joint, loads, grid }: MapAsk): MapAnswer {
  const begun = performance.now();
  const loops = loads.flatMap((load) => loopPolynomial(joint, load) ?? []);
  const map = gainMap(joint, loops, grid);
  return { map, took: (performance.now() - begun) / 1000 };
}
