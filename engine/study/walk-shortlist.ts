import type { DrivenJoint } from '../gait/stride.ts';
import { Fault } from '../quantity/fault.ts';
import { logSize } from '../walk/walk-room.ts';
import { openWalk } from '../walk/walk-run.ts';
import { DRIVEN, evaluateDesign } from './design.ts';
import { driveWithMotor, RATIOS, ratioScan } from './ratio-scan.ts';
import type { StudyInput } from './study-input.ts';
import { type WalkChoice, walkPlan } from './walk-plan.ts';
import { THIGHS, type Thigh } from './walk-price.ts';
import { stridesOfPlan } from './walk-report.ts';

/** A motor behind a ratio at one joint, and the least limit ÷ need of the tasks there: what, where. */
export interface ShortlistJoint {
  readonly motor: string;
  readonly ratio: number;
  readonly margin: number;
  readonly limit: string;
  readonly at: string;
}

/** One leg that is worth walking. */
export interface ShortlistCandidate {
  /** Name of the leg file it is made of. */
  readonly leg: string;
  readonly knee: ShortlistJoint;
  readonly ankle: ShortlistJoint;
  /** Whether it is that leg as it stands. */
  readonly own: boolean;
}

/** What a walk of a candidate came to at one end of the bracket: means of the last half of its strides. */
export interface CandidateEnd {
  /** J a stride that the hip gives; W with which it pulls the leg off the ground. */
  readonly hip: number;
  readonly pullOff: number;
  /** W of copper in both motors. */
  readonly copper: number;
  /** J a stride out of the cells. */
  readonly cells: number;
  /** Share of the work moved that the energy missed. */
  readonly audit: number;
}

export type CandidateWalk = {
  readonly [thigh in Thigh]: CandidateEnd | { readonly openBecause: string };
};

/** What a shortlist is ranked by: hip work, copper loss, least margin. */
export const RANKED_BY = ['hip', 'heat', 'margin'] as const;
export type RankedBy = (typeof RANKED_BY)[number];

/** A candidate and its walk. */
export interface ShortlistRow {
  readonly candidate: ShortlistCandidate;
  readonly walk: CandidateWalk;
}

/** What may stand at the joints of a shortlist. */
export interface ShortlistChoice {
  /** Left out: `RATIOS`. */
  readonly ratios?: readonly number[];
  /** Names; left out: the leg's own at each joint. */
  readonly motors?: readonly string[];
  /** Least limit ÷ need that the ratio scan must find; left out: 1, every task carried. */
  readonly margin?: number;
}

/**
 * The leg as it stands, and then every pair of motor and ratio at knee and ankle that the ratio scan lets through, by rising ratio. Gears stay
 * the leg file's, as in the scan.
 */
export function shortlistCandidates(
  input: StudyInput,
  leg: string,
  { ratios = RATIOS, motors, margin = 1 }: ShortlistChoice = {},
): readonly ShortlistCandidate[] {
  const design = evaluateDesign(input);
  const scanned = (joint: DrivenJoint, motor: string, at: readonly number[]): ShortlistJoint[] =>
    ratioScan(input, design, joint, { motor, ratios: at }).candidates.map(({ ratio, tightest }) => ({
      motor,
      ratio,
      margin: tightest?.margin ?? Number.POSITIVE_INFINITY,
      limit: tightest?.limit ?? 'nothing',
      at: tightest?.at ?? 'nothing is asked',
    }));
  const of = (joint: DrivenJoint) => {
    const { motor, transmission } = driveWithMotor(input, joint);
    return {
      own: scanned(joint, motor.name, [transmission.ratio])[0]!,
      fit: (motors ?? [motor.name])
        .flatMap((name) => scanned(joint, name, ratios))
        .filter((each) => each.margin >= margin),
    };
  };
  const [knee, ankle] = DRIVEN.map(of) as [ReturnType<typeof of>, ReturnType<typeof of>];
  const same = (a: ShortlistJoint, b: ShortlistJoint): boolean => a.motor === b.motor && a.ratio === b.ratio;
  const others = knee.fit.flatMap((k) =>
    ankle.fit.flatMap((a) =>
      same(k, knee.own) && same(a, ankle.own) ? [] : [{ leg, knee: k, ankle: a, own: false }],
    ),
  );
  return [{ leg, knee: knee.own, ankle: ankle.own, own: true }, ...others];
}

/** The study with a candidate's motors and ratios in its leg. */
export function candidateStudy(
  input: StudyInput,
  candidate: Pick<ShortlistCandidate, DrivenJoint>,
): StudyInput {
  const joint = (name: DrivenJoint) => {
    const drive = driveWithMotor(input, name, candidate[name].motor);
    return { ...drive, transmission: { ...drive.transmission, ratio: candidate[name].ratio } };
  };
  return { ...input, leg: { ...input.leg, joints: { knee: joint('knee'), ankle: joint('ankle') } } };
}

/** A candidate walked at both ends of the bracket; the reason where it cannot be, fell, or the energy does not balance. */
export function walkCandidate(
  input: StudyInput,
  candidate: Pick<ShortlistCandidate, DrivenJoint>,
  choice: Pick<WalkChoice, 'speed' | 'ground'>,
  length: { readonly step: number; readonly strides: number },
): CandidateWalk {
  const study = candidateStudy(input, candidate);
  const [prescribed, led] = THIGHS.map((thigh) => endOf(study, { ...choice, thigh }, length));
  return { prescribed, led };
}

/** The log of one walk after the other: each is read before the next writes over it, and memory as yet untouched is slow. */
let spare = new Float64Array(0);

function endOf(
  study: StudyInput,
  choice: WalkChoice,
  length: { readonly step: number; readonly strides: number },
): CandidateEnd | { readonly openBecause: string } {
  try {
    const plan = walkPlan(study, choice);
    if ('openBecause' in plan) return plan;
    const { period } = plan.setup;
    // the walk rounds its stride to whole steps
    const size = logSize(plan.stride.strideTime + length.step, period, length.strides);
    if (spare.length < size) spare = new Float64Array(size);
    const walk = openWalk(plan.setup, length.step, length.strides, spare);
    for (let k = 0; k < length.strides && walk.stride(); k++);
    const log = walk.log();
    const { fell, residual, moved } = log;
    if (fell !== undefined) return { openBecause: `after ${fell.time.toFixed(1)} s ${fell.why}` };
    const strides = stridesOfPlan(study, plan, log, Math.floor(length.strides / 2));
    const mean = (of: (stride: (typeof strides)[number]) => number): number =>
      strides.reduce((sum, stride) => sum + of(stride), 0) / strides.length;
    return {
      hip: mean(({ hip }) => hip.positiveWork),
      pullOff: mean(({ hip }) => hip.pullOff),
      copper: mean(({ knee, ankle }) => knee.copper + ankle.copper),
      cells: mean(({ energy }) => energy.cells),
      audit: residual / moved,
    };
  } catch (error) {
    if (error instanceof Fault) return { openBecause: error.faults[0]!.what };
    throw error;
  }
}

/** The larger of both ends: what the hip may have to give, J, and W of copper; +∞ where either end has no walk. */
export const worstEnd = ({ prescribed, led }: CandidateWalk, of: 'hip' | 'copper'): number =>
  'openBecause' in prescribed || 'openBecause' in led
    ? Number.POSITIVE_INFINITY
    : Math.max(prescribed[of], led[of]);

/** The least margin of both joints. */
export const leastMargin = ({ knee, ankle }: ShortlistCandidate): number =>
  Math.min(knee.margin, ankle.margin);

/** Best first; equals, and those without a walk at the end, stay in the order in which they came. */
export function rankedShortlist(rows: readonly ShortlistRow[], by: RankedBy): readonly ShortlistRow[] {
  const cost = ({ candidate, walk }: ShortlistRow): number => {
    const hip = worstEnd(walk, 'hip');
    if (hip === Number.POSITIVE_INFINITY) return hip;
    return by === 'hip' ? hip : by === 'heat' ? worstEnd(walk, 'copper') : -leastMargin(candidate);
  };
  return rows
    .map((row, place) => ({ row, place, cost: cost(row) }))
    .sort((a, b) => (a.cost < b.cost ? -1 : a.cost > b.cost ? 1 : a.place - b.place))
    .map(({ row }) => row);
}
