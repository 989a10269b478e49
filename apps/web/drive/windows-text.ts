import { RATIO_ENDS, type RequirementWindow } from '@striderule/engine';
import { fixed } from '../show/number.ts';

const isLow = (ratio: number): boolean => ratio <= RATIO_ENDS[0];
const isTop = (ratio: number): boolean => ratio >= RATIO_ENDS[1];

/** `from 25.2`, `to 32.6`, `28.6 to 36.5`, `at every ratio`, `at no ratio`. */
export function windowsText({ windows, openBecause }: RequirementWindow): string {
  if (openBecause !== undefined) return 'not known';
  if (windows.length === 0) return 'at no ratio';
  return windows
    .map(([from, to]) =>
      isLow(from)
        ? isTop(to)
          ? 'at every ratio'
          : `to ${fixed(to, 1)}`
        : isTop(to)
          ? `from ${fixed(from, 1)}`
          : `${fixed(from, 1)} to ${fixed(to, 1)}`,
    )
    .join(', ');
}
