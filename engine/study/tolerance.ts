import { type Interval, type Propagation, propagated } from '../evidence/interval.ts';
import { type Proportion, proportion } from '../evidence/proportion.ts';
import type { Requirement } from '../evidence/requirement.ts';
import { marginTo, verdict } from '../evidence/verdict.ts';
import { randomStream } from '../numeric/random.ts';
import { reusedArrays } from '../numeric/reused-arrays.ts';
import { Fault } from '../quantity/fault.ts';
import { benchTestOf } from './bench-test.ts';
import { type Demands, evaluateDesign, studyDemands } from './design.ts';
import { demandsWith, legWith } from './drawn-values.ts';
import { inputDraw } from './input-draw.ts';
import type { Metric } from './metric.ts';
import { jointOf, metricOf } from './requirement-metric.ts';
import type { StudyInput } from './study-input.ts';
import { type UncertainInput, uncertainInputs } from './uncertain-inputs.ts';
import { isWalked } from './walk-metrics.ts';

/** What one input contributes to the spread of a prediction. */
export interface Contribution {
  readonly path: string;
  /** (c_i·s_i)²/Σ (c_k·s_k)², 0–1. */
  readonly share: number;
}

/** One requirement over all draws. */
export interface RequirementTolerance {
  readonly requirement: Requirement;
  readonly title: string;
  /** SI. */
  readonly unit: string;
  /** With every input at its nominal value and the mean person; null where there is no number, and `openBecause` says why. */
  readonly nominal: number | null;
  readonly openBecause?: string;
  /** Draws that meet the bound ÷ all draws. A draw without a number does not meet it. */
  readonly met: Proportion | null;
  /** Draws without a number, and the reason of the first. */
  readonly unknown: number;
  readonly unknownBecause?: string;
  /** 5th, 50th and 95th percentile of the draws that have a number. */
  readonly percentiles: readonly [low: number, median: number, high: number] | null;
  /** The same by linear propagation, for comparison: see `propagated`. */
  readonly linear: Interval | null;
  /** Share of the draws' variance that the linear model explains, 0–1; low: do not read the contributions. NaN without one. */
  readonly explained: number;
  /** Largest first; those under a thousandth are left out. */
  readonly contributions: readonly Contribution[];
}

/** One bench test, and what knowing its result would settle. */
export interface TestWorth {
  readonly test: string;
  readonly paths: readonly string[];
  /** Requirements open by linear propagation, with the chance that this test alone settles them. */
  readonly settles: readonly { readonly id: string; readonly chance: number }[];
  /** Σ of the chances: how many open requirements it settles on average. */
  readonly expected: number;
}

export interface Tolerance {
  readonly draws: number;
  readonly seed: number;
  readonly inputs: readonly UncertainInput[];
  /** Draws that could not be and were drawn again, by path. */
  readonly impossible: Readonly<Record<string, number>>;
  readonly requirements: readonly RequirementTolerance[];
  /** Ids of requirements that walks judge: thousands of legs are not walked. */
  readonly leftOut: readonly string[];
  /** The test that settles most first. */
  readonly tests: readonly TestWorth[];
}

/** What came of draws that follow one another: plain data, so that others may work out other blocks. */
export interface DrawnBlock {
  readonly count: number;
  /** Every requirement of one draw after those of another; NaN where there is no number. */
  readonly values: Float64Array;
  /** By requirement: why the first draw without a number has none. */
  readonly why: readonly (string | undefined)[];
}

/** A run of draws under way. */
export interface ToleranceRun {
  readonly inputs: readonly UncertainInput[];
  readonly draw: (count: number) => void;
  /** Of the draws so far. */
  readonly result: () => Tolerance;
  /** `count` draws after the first `from`: the same whoever works them out, and whatever was drawn before. */
  readonly block: (from: number, count: number) => DrawnBlock;
  /** Of blocks that follow one another from the first draw on. */
  readonly resultOf: (blocks: readonly DrawnBlock[]) => Tolerance;
}

export interface ToleranceChoice {
  readonly seed: number;
  /** Leave out typical spreads and people: the leg file's spreads alone. */
  readonly statedOnly?: boolean;
}

/** z at 95 %: NIST/SEMATECH e-Handbook, §1.3.6.7.1, 1.645. */
const Z95 = 1.6448536269514722;
const LEAST_SHARE = 1e-3;

/**
 * Monte Carlo through the whole thread, and linear propagation beside it.
 *
 * Every uncertain input is drawn independently (JCGM 101:2008, propagation of distributions): normal where a standard deviation is
 * known, uniform where only an interval is; flux linkage is one number, so torque constant and back-EMF move together. People are
 * drawn around the mean person, so the tasks' coverage is not used. What two inputs have in common, such as the two directions of one
 * mesh, is not drawn.
 *
 * `draw` may be called again and again, so long runs can show progress and stop. Faults: a requirement that names no metric or joint;
 * no draws; a spread within which nothing can be; whatever gait and drive refuse.
 */
export function openTolerance(
  input: StudyInput,
  choice: ToleranceChoice,
  demands: Demands = studyDemands(input),
): ToleranceRun {
  const inputs = uncertainInputs(input, demands, choice.statedOnly === true);
  const asked = input.requirements
    .filter(({ metric }) => !isWalked(metric))
    .map((requirement) => {
      const metric = metricOf(requirement);
      return { requirement, metric, joint: jointOf(input, metric, requirement), task: requirement.task };
    });

  // Thousands of designs of which nothing outlives its numbers: each overwrites the curves of the one before.
  const { take, again } = reusedArrays();
  const legAt = legWith(input.leg, inputs);
  const demandsAt = demandsWith(demands, inputs);
  /** Every requirement at one set of values. NaN and the reason where there is no number. */
  const at = (values: Float64Array, why: (string | undefined)[] = []): Float64Array => {
    again();
    const study = { ...input, leg: legAt(values) };
    const design = evaluateDesign(study, demandsAt(study, values, take), take);
    const found = new Float64Array(asked.length);
    for (let k = 0; k < asked.length; k++) {
      const { metric, joint, task } = asked[k]!;
      const got = metric.value(study, design, joint, task);
      if ('value' in got) found[k] = got.value;
      else {
        found[k] = Number.NaN;
        why[k] ??= got.openBecause;
      }
    }
    return found;
  };
  const noWhy = (): (string | undefined)[] => asked.map(() => undefined);

  const values = new Float64Array(inputs.length);
  /** Draws inputs into `values`, from the first draw on. */
  const drawing = () => {
    const stream = randomStream(choice.seed);
    const draws = inputs.map(inputDraw);
    return {
      draws,
      next: (): void => {
        for (let i = 0; i < draws.length; i++) values[i] = draws[i]!.draw(stream);
      },
    };
  };
  let under = drawing();
  let drawn = 0;

  const block = (from: number, count: number): DrawnBlock => {
    if (from < drawn) {
      under = drawing();
      drawn = 0;
    }
    for (; drawn < from; drawn++) under.next();
    const found = new Float64Array(count * asked.length);
    const why = noWhy();
    for (let k = 0; k < count; k++) {
      under.next();
      drawn++;
      found.set(at(values, why), k * asked.length);
    }
    return { count, values: found, why };
  };

  const resultOf = (blocks: readonly DrawnBlock[]): Tolerance => {
    const count = blocks.reduce((sum, each) => sum + each.count, 0);
    if (count === 0)
      throw new Fault({
        code: 'study.no-draws',
        what: 'There are no draws yet',
        mend: 'Draw at least once',
      });
    const middle = Float64Array.from(inputs, ({ nominal }) => nominal);
    const nominalWhy = noWhy();
    const nominal = at(middle, nominalWhy);
    const shifted = inputs.map(({ deviation }, i) =>
      [1, -1].map((sign) => at(middle.with(i, middle[i] + sign * deviation))),
    );
    // the inputs once more, which costs next to nothing beside the legs made of them
    const { draws, next } = drawing();
    const all = new Float64Array(count * inputs.length);
    for (let k = 0; k < count; k++) {
      next();
      all.set(values, k * inputs.length);
    }
    const column = (k: number): Float64Array => {
      const own = new Float64Array(count);
      let row = 0;
      for (const { count: rows, values: found } of blocks)
        for (let j = 0; j < rows; j++) own[row++] = found[j * asked.length + k];
      return own;
    };
    const why = asked.map((_, k) => blocks.find((each) => each.why[k] !== undefined)?.why[k]);
    const linear = asked.map((_, k) => linearModel(inputs, nominal[k], (i) => shifted[i]!.map((f) => f[k])));
    return {
      draws: count,
      seed: choice.seed,
      inputs,
      impossible: Object.fromEntries(
        inputs.flatMap(({ path }, i) => {
          const refused = draws[i]!.refused();
          return refused > 0 ? [[path, refused]] : [];
        }),
      ),
      requirements: asked.map(({ requirement, metric }, k) =>
        summary(
          requirement,
          metric,
          linear[k]!,
          { drawn: all, values: column(k) },
          { nominal: nominalWhy[k], draw: why[k] },
        ),
      ),
      leftOut: input.requirements.filter(({ metric }) => isWalked(metric)).map(({ id }) => id),
      tests: testWorths(
        inputs,
        asked.map(({ requirement }, k) => ({ requirement, linear: linear[k]! })),
        all,
      ),
    };
  };

  const own: DrawnBlock[] = [];
  let done = 0;
  return {
    inputs,
    draw(count) {
      own.push(block(done, count));
      done += count;
    },
    result: () => resultOf(own),
    block,
    resultOf,
  };
}

/** f ≈ nominal + Σ c_i·(x_i − nominal_i), effects c_i·s_i by central difference over ± s_i. */
interface LinearModel {
  readonly inputs: readonly UncertainInput[];
  readonly nominal: number;
  readonly effects: Float64Array;
  readonly propagation: Propagation;
}

function linearModel(
  inputs: readonly UncertainInput[],
  nominal: number,
  ends: (i: number) => readonly number[],
): LinearModel {
  const effects = Float64Array.from(inputs, (_, i) => {
    const [up, down] = ends(i) as [number, number];
    return up === down ? 0 : (up - down) / 2;
  });
  const spreads = inputs.map(({ path, nominal: middle, deviation }) => ({
    path,
    nominal: middle,
    sd: deviation,
    basis: 'assumed' as const,
  }));
  const propagation = propagated(nominal, spreads, (spread, value) => {
    const i = spreads.findIndex(({ path }) => path === spread.path);
    const [up, down] = ends(i) as [number, number];
    return value > spread.nominal ? up : down;
  });
  return { inputs, nominal, effects, propagation };
}

/** The linear model's departure from nominal at draw `k` of all. */
function departure({ inputs, effects }: LinearModel, drawn: Float64Array, k: number): number {
  let sum = 0;
  for (let i = 0; i < effects.length; i++)
    if (effects[i] !== 0)
      sum += (effects[i] * (drawn[k * effects.length + i] - inputs[i].nominal)) / inputs[i].deviation;
  return sum;
}

function summary(
  requirement: Requirement,
  { title, unit }: Metric,
  linear: LinearModel,
  { drawn, values }: { readonly drawn: Float64Array; readonly values: Float64Array },
  why: { readonly nominal: string | undefined; readonly draw: string | undefined },
): RequirementTolerance {
  const known = values.filter((x) => !Number.isNaN(x)).sort();
  const unknown = values.length - known.length;
  const head = { requirement, title, unit };
  if (known.length === 0) {
    return {
      ...head,
      nominal: Number.isNaN(linear.nominal) ? null : linear.nominal,
      ...((why.nominal ?? why.draw) !== undefined && { openBecause: why.nominal ?? why.draw! }),
      met: null,
      unknown,
      percentiles: null,
      linear: null,
      explained: Number.NaN,
      contributions: [],
    };
  }
  const met = known.reduce((count, x) => count + (marginTo(requirement.bound, x) >= 0 ? 1 : 0), 0);
  const variance = linear.effects.reduce((sum, effect) => sum + effect * effect, 0);
  const contributions =
    variance > 0 && Number.isFinite(variance)
      ? linear.inputs
          .map(({ path }, i) => ({ path, share: linear.effects[i] ** 2 / variance }))
          .filter(({ share }) => share >= LEAST_SHARE)
          .sort((a, b) => b.share - a.share)
      : [];
  return {
    ...head,
    nominal: Number.isNaN(linear.nominal) ? null : linear.nominal,
    ...(why.nominal !== undefined && { openBecause: why.nominal }),
    met: proportion(met, values.length),
    unknown,
    ...(unknown > 0 && why.draw !== undefined && { unknownBecause: why.draw }),
    percentiles: [percentile(known, 0.05), percentile(known, 0.5), percentile(known, 0.95)],
    linear: linear.propagation.interval,
    explained: explainedBy(linear, drawn, values),
    contributions,
  };
}

/** Of sorted values, linear between the order statistics: Hyndman & Fan, Amer. Statist. 50 (1996) 361, definition 7. */
function percentile(sorted: Float64Array, share: number): number {
  const at = share * (sorted.length - 1);
  const below = Math.floor(at);
  const low = sorted[below];
  const high = sorted[Math.min(below + 1, sorted.length - 1)];
  // equal ends, also where both are infinite
  return low === high ? low : low + (at - below) * (high - low);
}

/** 1 − Σ (f − f_lin − mean of it)²/Σ (f − f̄)² over the draws that have a finite number. */
function explainedBy(linear: LinearModel, drawn: Float64Array, values: Float64Array): number {
  let n = 0;
  let [sum, squares, left, leftSquares] = [0, 0, 0, 0];
  for (let k = 0; k < values.length; k++) {
    if (!Number.isFinite(values[k])) continue;
    const y = values[k] - linear.nominal;
    const rest = y - departure(linear, drawn, k);
    n++;
    sum += y;
    squares += y * y;
    left += rest;
    leftSquares += rest * rest;
  }
  const all = squares - (sum * sum) / n;
  return all > 1e-12 * squares ? 1 - (leftSquares - (left * left) / n) / all : Number.NaN;
}

/**
 * What knowing a test's inputs exactly would settle of the open requirements, by the linear model: with its result the prediction
 * moves to x' = nominal + Σ_test c_i·(x_i − nominal_i), and the interval shrinks to ± 1.645·√Σ_rest (c_k·s_k)². Settled: outside the
 * bound, or the whole interval inside. The chance is the share of the draws in which that is so.
 */
function testWorths(
  inputs: readonly UncertainInput[],
  asked: readonly { readonly requirement: Requirement; readonly linear: LinearModel }[],
  drawn: Float64Array,
): TestWorth[] {
  const count = drawn.length / inputs.length;
  const groups = new Map<string, number[]>();
  inputs.forEach(({ path }, i) => {
    const test = benchTestOf(path);
    if (test !== undefined) groups.set(test, [...(groups.get(test) ?? []), i]);
  });
  const open = asked.filter(
    ({ requirement, linear }) =>
      linear.propagation.interval !== null &&
      verdict(requirement.bound, linear.nominal, linear.propagation) === 'open',
  );
  return [...groups]
    .map(([test, members]) => {
      const settles = open.flatMap(({ requirement, linear }) => {
        const own = linear.effects.map((effect, i) => (members.includes(i) ? effect : 0));
        if (own.every((effect) => effect === 0)) return [];
        const rest = linear.effects.reduce((sum, effect, i) => sum + (own[i] === 0 ? effect * effect : 0), 0);
        const half = Z95 * Math.sqrt(rest);
        const known = { ...linear, effects: own };
        let settled = 0;
        for (let k = 0; k < count; k++) {
          const margin = marginTo(requirement.bound, linear.nominal + departure(known, drawn, k));
          if (margin < 0 || margin >= half) settled++;
        }
        return settled === 0 ? [] : [{ id: requirement.id, chance: settled / count }];
      });
      return {
        test,
        paths: members.map((i) => inputs[i]!.path),
        settles: settles.sort((a, b) => b.chance - a.chance),
        expected: settles.reduce((sum, { chance }) => sum + chance, 0),
      };
    })
    .filter(({ expected }) => expected > 0)
    .sort((a, b) => b.expected - a.expected);
}
