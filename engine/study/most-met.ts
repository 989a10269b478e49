import type { Requirement } from '../evidence/requirement.ts';

/** From ratio to ratio, both included and both to a tenth. */
export type RatioWindow = readonly [from: number, to: number];

/** At which ratios of one joint a requirement is met. */
export interface RequirementWindow {
  readonly requirement: Requirement;
  readonly title: string;
  /** SI, as `shownUnit` reads it. */
  readonly unit: string;
  /** Rising and apart; empty: at none that was looked at. */
  readonly windows: readonly RatioWindow[];
  /** Why nothing is predicted at any ratio. */
  readonly openBecause?: string;
}

/** Ends of what is looked at: from less than any low-ratio joint to more than any that is moved by hand. Our choice. */
export const RATIO_ENDS: RatioWindow = [3, 150];

/** The ratios at which most requirements are met. */
export interface MostMet {
  /** The lowest of those ratios, and how far up the same are met. */
  readonly window: RatioWindow;
  readonly met: number;
  /** Not met there, or not known. */
  readonly lacking: readonly RequirementWindow[];
}

export const metAt = ({ windows }: RequirementWindow, ratio: number): boolean =>
  windows.some(([from, to]) => from <= ratio && ratio <= to);

/**
 * Where most of these requirements are met; of equals the lowest, which is the easiest to move by hand. Every requirement counts as one:
 * what an engineer holds for more important is not known here. Undefined where none is met anywhere.
 */
export function mostMet(all: readonly RequirementWindow[]): MostMet | undefined {
  const begins = [...new Set(all.flatMap(({ windows }) => windows.map(([from]) => from)))].sort(
    (a, b) => a - b,
  );
  let best: { from: number; met: readonly RequirementWindow[] } | undefined;
  // only where one begins can more be met than just below
  for (const from of begins) {
    const met = all.filter((each) => metAt(each, from));
    if (met.length > (best?.met.length ?? 0)) best = { from, met };
  }
  if (best === undefined) return undefined;
  const { from, met } = best;
  const ends = met.map(({ windows }) => windows.find(([low, high]) => low <= from && from <= high)![1]);
  return {
    window: [from, Math.min(...ends)],
    met: met.length,
    lacking: all.filter((each) => !met.includes(each)),
  };
}
