import { BEHAVIOUR, type CompiledController } from '../control/compile-controller.ts';
import { SIGNALS } from '../control/controller.ts';
import { dataController } from '../walk/data-controller.ts';
import type { Pace } from '../walk/walk-course.ts';
import type { Scenario } from '../walk/walk-scenario.ts';
import { hungStride, type WalkStride, wayOfStrides } from '../walk/walk-strides.ts';
import { chairPlan } from './chair-plan.ts';
import { hungPlan } from './hung-plan.ts';
import { stairPlan } from './stair-plan.ts';
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

/** Comes to rest at `begins` s + over, stands, goes back and forth, goes on. Back by d strides of T s within τ: at most −2·d·T/τ of its pace. */
function paceOf(
  { over, stands, back }: NonNullable<Scenario['stop']>,
  begins: number,
  strideTime: number,
): Pace {
  const rests = begins + over + stands;
  const pace = [
    { at: 0, share: 1 },
    { at: begins, share: 1 },
    { at: begins + over, share: 0 },
  ];
  if (stands > 0) pace.push({ at: rests, share: 0 });
  let t = rests;
  if (back !== undefined) {
    const most = (2 * back.by * strideTime) / back.over;
    for (let k = 0; k < 2 * back.times; k++) {
      pace.push(
        { at: t + back.over / 2, share: k % 2 === 0 ? -most : most },
        { at: t + back.over, share: 0 },
      );
      t += back.over;
    }
  }
  pace.push({ at: t + over, share: 1 });
  return pace;
}

/** The same controller, which leaves a scheduled stance for swing as soon as it bears less than `share` of body weight and all else holds. */
function leavingBelow(of: CompiledController, share: number): CompiledController {
  const high = of.high.slice();
  const load = SIGNALS.indexOf('load');
  for (let state = 0; state < of.states.length; state++)
    for (let j = of.first[state]; j < of.first[state + 1]; j++) {
      const leaves =
        of.kind[2 * state] === BEHAVIOUR.schedule && of.kind[2 * of.target[j]] === BEHAVIOUR.thigh;
      for (let c = of.conditionFirst[j]; leaves && c < of.conditionFirst[j + 1]; c++)
        if (of.signal[c] === load) high[c] = Math.fround(share * of.bodyWeight);
    }
  return { ...of, high };
}

/**
 * A scenario of the study with steps of `step` s, or why it cannot be told.
 *
 * A stop covers over/2 at its own pace while it slows down, so that it begins that much before its place. On a slope
 * the leg goes against the ground as on the level, and the other leg's force as there.
 */
export function openScenario(input: StudyInput, of: Scenario, step: number): OpenReport | Open {
  if (of.hangs !== undefined) return openHung(input, of, of.hangs, step);
  if (of.stairs !== undefined) return openStair(input, { ...of, stairs: of.stairs }, step);
  if (of.chair !== undefined) return openChair(input, { ...of, chair: of.chair }, step);
  return openLevel(input, of, step);
}

function openChair(
  input: StudyInput,
  of: Scenario & Required<Pick<Scenario, 'chair'>>,
  step: number,
): OpenReport | Open {
  const plan = chairPlan(input, of);
  if ('openBecause' in plan) return plan;
  const { speed, control, thigh } = of;
  const choice: WalkChoice = { speed, control, thigh, ground: 'overground' };
  return strideByStride(reportedWalk(input, choice, plan, { step, strides: of.strides }, {}), wayOfStrides);
}

/** The same walk, each of its strides told otherwise. */
function strideByStride(walk: OpenReport, told: (stride: WalkStride) => WalkStride): OpenReport {
  return {
    ...walk,
    report: () => {
      const report = walk.report();
      return { ...report, strides: report.strides.map(told) };
    },
  };
}

function openStair(
  input: StudyInput,
  of: Scenario & Required<Pick<Scenario, 'stairs'>>,
  step: number,
): OpenReport | Open {
  const plan = stairPlan(input, of);
  if ('openBecause' in plan) return plan;
  const { speed, control, thigh } = of;
  const choice: WalkChoice = { speed, control, thigh, ground: 'overground' };
  return reportedWalk(input, choice, plan, { step, strides: of.strides }, { terrain: plan.terrain });
}

function openHung(input: StudyInput, of: Scenario, task: string, step: number): OpenReport | Open {
  const plan = hungPlan(input, { task, control: of.control });
  if ('openBecause' in plan) return plan;
  const { speed, control } = of;
  return strideByStride(
    reportedWalk(input, { speed, control }, plan, { step, strides: of.strides }, {}),
    hungStride,
  );
}

function openLevel(input: StudyInput, of: Scenario, step: number): OpenReport | Open {
  const choice: WalkChoice = {
    ...(of.terrain?.kind === 'slope' &&
      of.terrain.told !== undefined && { told: of.terrain.told ? of.terrain.angle : 0 }),
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
  const pace: Pace | undefined = stop === undefined ? of.cadence : paceOf(stop, begins, strideTime);
  const { machine } = plan;
  if (of.leaves !== undefined && machine === undefined)
    return { openBecause: 'only the study’s controller can be told when to leave stance: `control: study`' };
  const early = of.leaves === undefined ? undefined : leavingBelow(machine!, of.leaves);
  return reportedWalk(
    input,
    choice,
    plan,
    { step, strides: of.strides },
    {
      ...(of.terrain && { terrain: of.terrain }),
      ...(pace && { pace }),
      ...(fault && known && { fault: known.at(timeOf(fault)) }),
      ...(early && { controller: () => dataController(early) }),
    },
  );
}
