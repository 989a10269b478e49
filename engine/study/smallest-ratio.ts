import { largestCurrent } from '../drive/largest-current.ts';
import { torqueOf } from '../drive/motor-torque.ts';
import { smallestTorqueRatio } from '../drive/torque-ratio.ts';
import { phaseVoltageLimit, speedLimit } from '../drive/voltage-limit.ts';
import { type RatioCandidate, type RatioCase, ratioCandidates, type Tightest } from './ratio-candidate.ts';

/** The smallest ratio that carries every task, or why there is none. */
export interface SmallestRatio {
  /** +∞ where none carries them. */
  readonly ratio: number;
  /** What is tightest there; where none carries, at the smallest ratio whose torque suffices; without any, the task that no ratio has torque for, and no margin. */
  readonly tightest: Tightest;
  /** That ratio, where none carries: torque would do from here. +∞ where it never does. */
  readonly torqueFrom: number;
  /** Judged at `ratio`; absent where none carries. */
  readonly candidate?: RatioCandidate;
}

/** A ratio below 1 is no reduction. */
const LEAST = 1;
/** Past a bound by a little more than roundings. */
const PAST = 1 + 1e-12;
/** Ratios looked at above the torque's, where speed fails there, and how far beyond the unloaded motor's: regenerating, it turns a
 * little faster. Our choice: steps of a few per cent, so that a window narrower than that may be missed. */
const UPWARD = 32;
const BEYOND_UNLOADED = 1.25;
const HALVINGS = 24;

// By what it was made of: pure, so remembering it changes nothing but time.
const made = new WeakMap<RatioCase, SmallestRatio | undefined>();

/**
 * The smallest ratio at which torque, speed, gears and back-drive requirements hold for every task; heat apart. Undefined where
 * nothing is asked of the joint.
 *
 * Torque by algebra: curves by `smallestTorqueRatio`, published peaks N = (τ + τ_c,out)/(η_f·(τ_max − τ_c)), holds N = τ/(η_f·τ_max).
 * The rest is then judged at that ratio. Gears do not depend on it and back-driving only grows. Speed may fail there and hold a little
 * higher, where the current is less: then 32 ratios are tried, up to a quarter more than the unloaded motor allows, and the first that
 * carries is halved back towards the last that does not.
 */
export function smallestRatio(c: RatioCase): SmallestRatio | undefined {
  if (!made.has(c)) made.set(c, smallestOf(c));
  return made.get(c);
}

function smallestOf(c: RatioCase): SmallestRatio | undefined {
  const { motor, transmission: t } = c.drive;
  const most = torqueOf(motor, largestCurrent(c.drive));
  const curves = smallestTorqueRatio(
    c.tasks.samples,
    {
      inertia: motor.rotorInertia + t.inputInertia,
      viscous: motor.viscousDrag,
      coulomb: motor.coulombDrag,
      drivingEfficiency: t.drivingEfficiency,
      backDrivenEfficiency: t.backDrivenEfficiency,
    },
    most,
    LEAST,
  );
  let ratio = curves.ratio;
  let without: { id: string; title: string } | undefined = c.tasks.strides[curves.task];
  for (const { kind, id, title, moment } of c.tasks.peaks) {
    if (moment === undefined || moment === 0) continue;
    const room = kind === 'peaks' ? most - motor.coulombDrag : most;
    const load = kind === 'peaks' ? moment + t.outputCoulomb : moment;
    const least = room > 0 ? (load / (t.drivingEfficiency * room)) * PAST : Number.POSITIVE_INFINITY;
    if (least > ratio) {
      ratio = least;
      without = { id, title };
    }
  }
  if (ratio === Number.POSITIVE_INFINITY)
    return {
      ratio,
      tightest: { limit: 'torque', margin: Number.NaN, id: without!.id, at: without!.title },
      torqueFrom: ratio,
    };
  const [first] = ratioCandidates(c, [ratio]);
  if (first.tightest === undefined) return undefined;
  if (first.carries) return { ratio, tightest: first.tightest, torqueFrom: ratio, candidate: first };
  const none = { ratio: Number.POSITIVE_INFINITY, tightest: first.tightest, torqueFrom: ratio };
  if (first.tightest.limit !== 'speed') return none;
  const top =
    (BEYOND_UNLOADED * speedLimit(motor, phaseVoltageLimit(c.busVoltage, c.drive), 0)) / c.tasks.fastest;
  if (!(top > ratio)) return none;
  const steps = Array.from({ length: UPWARD }, (_, k) => ratio * (top / ratio) ** ((k + 1) / UPWARD));
  const tried = ratioCandidates(c, steps);
  const at = tried.findIndex(({ carries }) => carries);
  if (at < 0) return none;
  let fails = at === 0 ? ratio : steps[at - 1];
  let there = tried[at];
  for (let k = 0; k < HALVINGS; k++) {
    const [middle] = ratioCandidates(c, [Math.sqrt(fails * there.ratio)]);
    if (middle.carries) there = middle;
    else fails = middle.ratio;
  }
  return { ratio: there.ratio, tightest: there.tightest!, torqueFrom: ratio, candidate: there };
}
