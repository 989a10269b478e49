import { smoothStep } from '../numeric/smooth-step.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';

/** Per cent of the stride over which the demand passes between stance and swing at each contact. Our choice. */
export const BLEND_PERCENT = 5;

/**
 * Weight of the stance moment: 1 in stance; after toe-off it falls to 0 over BLEND_PERCENT, and rises to 1 over the
 * last BLEND_PERCENT before initial contact, both as 3u² − 2u³, so that demand and its slope are continuous.
 */
export function stanceWeight(stance: number): Float64Array {
  const weight = new Float64Array(STRIDE_SAMPLES);
  for (let i = 0; i < STRIDE_SAMPLES; i++) {
    const p = (100 * i) / (STRIDE_SAMPLES - 1);
    const left = 1 - smoothStep((p - 100 * stance) / BLEND_PERCENT);
    const coming = smoothStep((p - (100 - BLEND_PERCENT)) / BLEND_PERCENT);
    weight[i] = Math.max(left, coming);
  }
  return weight;
}
