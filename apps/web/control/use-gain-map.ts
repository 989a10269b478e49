import type { GainGrid, GainMap, Load, SampledJoint } from '@striderule/engine';
import { useEffect, useState } from 'react';
import { DAMPING_REACH, STIFFNESS_REACH } from '../design/gain-reach.ts';
import { answerMap, type MapAnswer } from './answer-map.ts';

/** A script of the build beside the page's own: see vite.config.ts. */
const WORKER = '/assets/map-worker.js';
/** Points along each side. */
const SIZE = 200;

/** Evenly apart on a logarithmic scale, ends included. */
const spaced = ({ low, high }: { readonly low: number; readonly high: number }): Float64Array =>
  Float64Array.from({ length: SIZE }, (_, k) => low * (high / low) ** (k / (SIZE - 1)));

const GRID: GainGrid = { stiffnesses: spaced(STIFFNESS_REACH), dampings: spaced(DAMPING_REACH) };

/** The map of one joint, worked out beside the page; undefined until it is there. Where the browser will not run a worker, by the page itself. */
export function useGainMap(
  joint: SampledJoint | undefined,
  loads: readonly Load[],
): { readonly map: GainMap; readonly took: number } | undefined {
  const [got, setGot] = useState<MapAnswer & { readonly of: SampledJoint }>();
  useEffect(() => {
    if (joint === undefined) return;
    const ask = { joint, loads, grid: GRID };
    const worker = new Worker(WORKER, { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<MapAnswer>) => {
      setGot({ ...data, of: joint });
      worker.terminate();
    });
    worker.addEventListener('error', () => setGot({ ...answerMap(ask), of: joint }));
    worker.postMessage(ask);
    return () => worker.terminate();
  }, [joint, loads]);
  return got?.of === joint ? got : undefined;
}
