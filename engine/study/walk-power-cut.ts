import { degFromRad, type Rad } from '../quantity/angle.ts';
import { LOG, LOG_WIDTH } from '../walk/walk-log.ts';
import { walkRun } from '../walk/walk-run.ts';
import { phasesOf } from './power-lost.ts';
import type { StudyInput } from './study-input.ts';
import { type WalkChoice, walkPlan } from './walk-plan.ts';
import { type OpenReport, reportedWalk } from './walk-report.ts';

type Open = { readonly openBecause: string };

/** Power lost at one place of the stride, both joints at once. SI. */
export interface PowerCut {
  /** Share of the reference stride, and whether the leg stood then. */
  readonly place: number;
  readonly stance: boolean;
  /** rad: knee when power is lost; at its most until the reference's toe-off, for a cut in stance. */
  readonly knee: number;
  readonly bends?: number;
  /** s from the cut to 60° of knee flexion, and of the same walk with power; NaN where it is not reached within the next stride. */
  readonly toSixty: number;
  readonly poweredToSixty: number;
  /** For a cut in swing: knee at the next contact, and of the same walk with power, rad; NaN without a contact. */
  readonly lands?: number;
  readonly poweredLands?: number;
  /** m by which the hip sinks below its lowest with power, within the next stride. */
  readonly sinks: number;
  /** Where it ended within two strides and a bit: s after the cut, and why. */
  readonly fell?: { readonly after: number; readonly why: string };
}

/** rad beyond the powered walk's knee at contact that is called bent: 10°. Our choice. */
const BENT = Math.PI / 18;

/** Whether a cut in swing has the wearer land on a bent knee, or not at all; undefined for one in stance. */
const landsBent = ({ lands, poweredLands }: PowerCut): boolean | undefined =>
  lands === undefined ? undefined : !(lands <= poweredLands! + BENT);

const percent = ({ place }: PowerCut): string => `${Math.round(100 * place)} %`;

/** The knee's largest bend after a cut in stance, and the places where it lands bent, in a sentence. */
export function powerCutVerdict(cuts: readonly PowerCut[]): string {
  const inStance = cuts.filter(({ bends }) => bends !== undefined);
  const [worst] = inStance.toSorted((a, b) => b.bends! - a.bends!);
  const bent = cuts.filter(landsBent);
  const stance =
    worst === undefined
      ? 'No cut fell into stance'
      : `In stance the knee bends to ${degFromRad(worst.bends as Rad).toFixed(0)}° at most before toe-off, power lost at ${percent(worst)}`;
  const swing =
    bent.length === 0
      ? 'in swing it lands as it would have'
      : `in swing the wearer lands on a bent knee, or not at all, when it is lost at ${bent.map(percent).join(', ')}`;
  return `${stance}; ${swing}.`;
}

/** What a reader of the cuts must know. */
export const POWER_CUT_NOTES: readonly string[] = [
  'Phases as `lossOfPower` in the leg file leaves them: steady short, cold motor; dry friction and mesh stay.',
  'Thigh and other leg go on as before and a guide holds the hip, which nobody has: it compares legs and shorts, and rehearses no fall.',
];

/** Cuts of one walk, asked for one by one. */
export interface OpenPowerCut {
  readonly at: (place: number) => PowerCut;
  /** s, and share of it in stance, of the stride that is walked. */
  readonly strideTime: number;
  readonly stance: number;
  /** The walk of one cut as it was. */
  readonly walk: (place: number) => OpenReport & { readonly strides: number };
}

/** Strides that a walk has behind it when power is lost. Our choice. */
const BEFORE = 3;
/** What is called a knee that has given way, rad: 60°. */
const SIXTY = Math.PI / 3;
/** Share of the weight on the foot that counts as contact. Our choice. */
const CONTACT = 0.08;

/**
 * A walk that loses power: after three strides, at a place of the fourth, the phases do what the leg file's `lossOfPower` says, and friction
 * stays. The wearer's thigh and other leg go on as before, which nobody's would: it compares legs and shorts, and it is no rehearsal of a fall.
 * The reason where the leg file does not say what the phases do, or the walk cannot be told.
 */
export function openPowerCut(input: StudyInput, choice: WalkChoice, step: number): OpenPowerCut | Open {
  const knee = phasesOf(input, 'knee');
  if ('openBecause' in knee) return knee;
  const ankle = phasesOf(input, 'ankle');
  if ('openBecause' in ankle) return ankle;
  const plan = walkPlan(input, choice);
  if ('openBecause' in plan) return plan;
  const { setup, stride } = plan;
  const strides = BEFORE + 3;
  const powered = walkRun(setup, step, strides);
  const rows = Math.round(powered.strideTime / powered.period);
  const value = (table: Float64Array, row: number, place: number) => table[row * LOG_WIDTH + place];
  // the first row whose place is 0 or later: a stride begins there
  let start = 1;
  while (value(powered.table, start, LOG.place) > value(powered.table, start - 1, LOG.place)) start++;
  const rowOf = (place: number): number => start + Math.round((BEFORE - 1 + place) * rows);
  const timeAt = (row: number): number => value(powered.table, row, LOG.time);
  return {
    strideTime: stride.strideTime,
    stance: stride.stance,
    walk: (place) => ({
      ...reportedWalk(
        input,
        choice,
        plan,
        { step, strides },
        { fault: { kind: 'power', time: timeAt(rowOf(place)) } },
      ),
      strides,
    }),
    at: (place) => {
      const from = rowOf(place);
      const time = timeAt(from);
      const log = walkRun({ ...setup, fault: { kind: 'power', time } }, step, strides);
      const end = Math.min(from + rows, log.rows);
      const stance = value(log.table, from, LOG.mode) === 0;
      const sixty = (table: Float64Array, to: number): number => {
        for (let i = from; i < to; i++)
          if (value(table, i, LOG.knee) >= SIXTY) return (i - from) * powered.period;
        return Number.NaN;
      };
      const lands = (table: Float64Array, to: number): number => {
        for (let i = from; i < to; i++)
          if (value(table, i, LOG.up) > CONTACT * setup.course.weight) return value(table, i, LOG.knee);
        return Number.NaN;
      };
      const lowest = (table: Float64Array, to: number): number => {
        let low = Number.POSITIVE_INFINITY;
        for (let i = from; i < to; i++) low = Math.min(low, value(table, i, LOG.height));
        return low;
      };
      let bends = Number.NEGATIVE_INFINITY;
      const toeOff = Math.min(end, from + Math.round((stride.stance - place) * rows));
      for (let i = from; i < toeOff; i++) bends = Math.max(bends, value(log.table, i, LOG.knee));
      return {
        place,
        stance,
        knee: value(powered.table, from, LOG.knee),
        ...(stance && toeOff > from && { bends }),
        toSixty: sixty(log.table, end),
        poweredToSixty: sixty(powered.table, from + rows),
        ...(!stance && {
          lands: lands(log.table, end),
          poweredLands: lands(powered.table, from + rows),
        }),
        sinks: lowest(powered.table, from + rows) - lowest(log.table, end),
        ...(log.fell !== undefined && { fell: { after: log.fell.time - time, why: log.fell.why } }),
      };
    },
  };
}
