import type { DrivenJoint } from '../gait/stride.ts';
import { type Spread, spreadDeviation } from '../quantity/spread.ts';
import { type Demands, DRIVEN } from './design.ts';
import { numberPaths } from './number-paths.ts';
import type { StudyInput } from './study-input.ts';
import { typicalSpread } from './typical-spread.ts';
import { valueAt } from './with-value.ts';

/** Where the spread of an input comes from. */
export type SpreadOrigin = 'leg file' | 'typical' | 'people';

/** One input that is not known exactly. */
export interface UncertainInput {
  /** In the leg, such as `joints.knee.motor.resistance`; `people.knee` is the person's score at a joint. */
  readonly path: string;
  readonly origin: SpreadOrigin;
  readonly nominal: number;
  /** Standard deviation. */
  readonly deviation: number;
  /** Half width where every value in an interval is equally likely; left out: normal. */
  readonly range?: number;
  readonly because?: string;
}

/** Before the joint, in the path of a person's score. */
export const PEOPLE = 'people.';

const ofSpread = (spread: Spread, origin: SpreadOrigin): UncertainInput => ({
  path: spread.path,
  origin,
  nominal: spread.nominal,
  deviation: spreadDeviation(spread),
  ...(spread.sd === undefined && spread.range !== undefined && { range: spread.range }),
  ...(spread.because !== undefined && { because: spread.because }),
});

/** Joints at which the published strides say how people differ. */
const scatteredJoints = (demands: Demands): DrivenJoint[] =>
  DRIVEN.filter((joint) =>
    Object.values(demands).some(
      (d) => d.kind === 'stride' && (d.joints[joint]?.momentScatter ?? Number.NaN) > 0,
    ),
  );

/**
 * Every input of a study that is not known exactly: the leg file's own spreads, and unless `statedOnly` what is typical of the
 * numbers that came without one, and the scatter between people at each joint for which one was published.
 */
export function uncertainInputs(
  input: StudyInput,
  demands: Demands,
  statedOnly: boolean,
): readonly UncertainInput[] {
  const stated = input.spreads
    .filter((spread) => spreadDeviation(spread) > 0)
    .map((spread) => ofSpread(spread, 'leg file'));
  if (statedOnly) return stated;
  const known = new Set(stated.map(({ path }) => path));
  const typical = DRIVEN.flatMap((joint) =>
    numberPaths(input.leg.joints[joint] ?? {}, `joints.${joint}.`).flatMap((path): UncertainInput[] => {
      const spread = known.has(path) ? undefined : typicalSpread(path, valueAt(input.leg, path) as number);
      return spread === undefined ? [] : [ofSpread(spread, 'typical')];
    }),
  );
  const people = scatteredJoints(demands).map(
    (joint): UncertainInput => ({
      path: `${PEOPLE}${joint}`,
      origin: 'people',
      nominal: 0,
      deviation: 1,
      because: 'deviation of the peak moment as published with the stride; one score for all tasks',
    }),
  );
  return [...stated, ...typical, ...people];
}
