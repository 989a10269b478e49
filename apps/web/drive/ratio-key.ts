import { LARGEST_RATIO, LEAST_RATIO } from '../design/live-ratio.ts';

/** Where a key takes the ratio: arrows a tenth, with Shift or a page key a whole one. Undefined where the key is none of ours. */
export function ratioKey(key: string, shift: boolean, ratio: number): number | undefined {
  const step = shift ? 1 : 0.1;
  switch (key) {
    case 'ArrowLeft':
    case 'ArrowDown':
      return ratio - step;
    case 'ArrowRight':
    case 'ArrowUp':
      return ratio + step;
    case 'PageDown':
      return ratio - 1;
    case 'PageUp':
      return ratio + 1;
    case 'Home':
      return LEAST_RATIO;
    case 'End':
      return LARGEST_RATIO;
    default:
      return undefined;
  }
}
