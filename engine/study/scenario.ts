import type { Pace } from '../walk/walk-course.ts';
import type { Scenario } from '../walk/walk-scenario.ts';
import type { StudyInput } from './study-input.ts';
import { mappedFault } from './walk-faults.ts';
import { type WalkChoice, walkPlan } from './walk-plan.ts';
import { type OpenReport, reportedWalk } from './walk-report.ts';

type Open = { readonly openBecause: string };

/** Strides from the beginning of a walk, at 80 % of one, to its first contact. */
const BEFORE_CONTACT = 0.2;

/** What a reader of such a walk must know. */
export const SCENARIO_NOTES: readonly string[] = [
  'Whole strides only; clearance is of the forefoot over the ground under it, in the middle half of swing.',
  'The wearer does not react: on a slope the leg goes against the ground as on the level, at another pace the stride keeps its length, and a guide holds the hip. It compares legs and controllers, and rehearses no fall.',
];

/**
 * A scenario of the study with steps of `step` s, or why it cannot be told.
 *
 * A stop covers over/2 at its own pace while it slows down, so that it begins that much before its place. On a slope
 * the leg goes against the ground as on the level, and the other leg's force as there.
 */
export function openScenario(input: StudyInput, of: Scenario, step: number): OpenReport | Open {
  const choice: WalkChoice = {
    speed: of.speed,
    control: of.control,
    thigh: of.thigh,
    ground: of.ground,
    ...(of.seed !== undefined && { seed: of.seed }),
  };
  const plan = walkPlan(input, choice);
  if ('openBecause' in plan) return plan;
  const { strideTime } = plan.stride;
  const timeOf = ({ stride, place }: { readonly stride: number; readonly place: number }): number =>
    (BEFORE_CONTACT + stride - 1 + place) * strideTime;
  const { stop, fault } = of;
  const begins = stop === undefined ? 0 : timeOf(stop) - stop.over / 2;
  if (begins < 0) return { openBecause: 'its stop begins before the walk: stop later, or faster' };
  const known = fault === undefined ? undefined : mappedFault(input.leg, fault.name);
  if (known !== undefined && 'openBecause' in known) return known;
  const pace: Pace | undefined =
    stop === undefined
      ? of.cadence
      : [
          { at: 0, share: 1 },
          { at: begins, share: 1 },
          { at: begins + stop.over, share: 0 },
          { at: begins + stop.over + stop.stands, share: 0 },
          { at: begins + 2 * stop.over + stop.stands, share: 1 },
        ];
  return reportedWalk(
    input,
    choice,
    plan,
    { step, strides: of.strides },
    {
      ...(of.terrain && { terrain: of.terrain }),
      ...(pace && { pace }),
      ...(fault && known && { fault: known.at(timeOf(fault)) }),
    },
  );
}
