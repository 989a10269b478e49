import type { Demand } from '../gait/demand-result.ts';
import { type PersonScores, personDemand } from '../gait/people.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { RandomStream } from '../numeric/random.ts';
import { newArray, type TakeArray } from '../numeric/reused-arrays.ts';
import { Fault } from '../quantity/fault.ts';
import { type Spread, spreadDeviation } from '../quantity/spread.ts';
import { type Demands, DRIVEN, studyDemands } from './design.ts';
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

const PEOPLE = 'people.';

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

/** Numbers of a leg that may be negative or zero. */
const SIGNED = /equilibrium$|Coefficient$|centre\.[xz]$/;

/** Which values an input can have at all. */
interface Possible {
  readonly least: number;
  /** Whether `least` itself can be. */
  readonly leastToo: boolean;
  readonly most: number;
}

/** A loss is not negative, an efficiency not above 1, a mass not zero. */
function possible({ path, nominal }: UncertainInput): Possible {
  const signed = path.startsWith(PEOPLE) || SIGNED.test(path);
  return {
    least: signed ? Number.NEGATIVE_INFINITY : 0,
    leastToo: signed || nominal === 0,
    most: /Efficiency$|voltageMargin$/.test(path) ? 1 : Number.POSITIVE_INFINITY,
  };
}

/** Draws values of one input that can be; `refused` counts the others that it met on the way. */
export interface InputDraw {
  readonly draw: (stream: RandomStream) => number;
  readonly refused: () => number;
}

/** Of so many draws one must be possible, or the spread says nothing. */
const MOST_TRIES = 100;

/**
 * Values of an input, one a call. A draw that cannot be is counted and drawn again, so the tail is cut off, not piled up at the edge.
 * Fault: hardly any value within the spread can be.
 */
export function inputDraw(input: UncertainInput): InputDraw {
  const { nominal, deviation, range } = input;
  const { least, leastToo, most } = possible(input);
  let refused = 0;
  return {
    refused: () => refused,
    draw(stream) {
      for (let k = 0; k < MOST_TRIES; k++) {
        const value =
          range === undefined
            ? nominal + deviation * stream.normal()
            : nominal + range * (2 * stream.uniform() - 1);
        if (value <= most && (value > least || (leastToo && value === least))) return value;
        refused++;
      }
      throw new Fault({
        code: 'study.impossible-spread',
        what: `Hardly any value within the spread of \`${input.path}\` can be: ${nominal} ± ${deviation}`,
        mend: 'Give the spread in the unit of the value, or as a share of it',
        place: { path: input.path },
      });
    },
  };
}

/**
 * Demands for one set of values: another person's where the scores are given, made anew where a segment changed. Without people the
 * demands stay as the study asks them, its coverage included. `take` gives the arrays of another person's torque.
 */
export function demandsFor(
  study: StudyInput,
  demands: Demands,
  inputs: readonly UncertainInput[],
  values: Float64Array,
  take: TakeArray = newArray,
): Demands {
  const base = inputs.some(({ path }) => path.startsWith('segments.')) ? studyDemands(study) : demands;
  const scores: { [joint in DrivenJoint]?: number } = {};
  inputs.forEach(({ path }, i) => {
    if (path.startsWith(PEOPLE)) scores[path.slice(PEOPLE.length) as DrivenJoint] = values[i];
  });
  if (Object.keys(scores).length === 0) return base;
  const others: Record<string, Demand> = {};
  for (const id of Object.keys(base))
    others[id] = personDemand(base[id]!, scores satisfies PersonScores, take);
  return others;
}

/** A record of plain data, copied through and through. */
function copied<T>(record: T): T {
  if (typeof record !== 'object' || record === null) return record;
  if (Array.isArray(record)) return record.map(copied) as T;
  const copy: Record<string, unknown> = {};
  for (const key of Object.keys(record)) copy[key] = copied((record as Record<string, unknown>)[key]);
  return copy as T;
}

/** The leg with every uncertain number at its value. */
export function legFor<T extends object>(leg: T, inputs: readonly UncertainInput[], values: Float64Array): T {
  const copy = copied(leg);
  inputs.forEach(({ path }, i) => {
    if (path.startsWith(PEOPLE)) return;
    const keys = path.split('.');
    const last = keys.pop()!;
    let at = copy as Record<string, unknown>;
    for (const key of keys) at = at[key] as Record<string, unknown>;
    at[last] = values[i];
  });
  return copy;
}
