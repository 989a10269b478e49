import { BEHAVIOUR, type CompiledController } from '../control/compile-controller.ts';
import { SIGNALS } from '../control/controller.ts';
import { dataController } from '../walk/data-controller.ts';
import { slopeTerrain, stepTerrain, type Terrain, unevenTerrain } from '../walk/terrain.ts';
import type { Pace } from '../walk/walk-course.ts';
import type { WalkLog } from '../walk/walk-log.ts';
import { openWalk } from '../walk/walk-run.ts';
import type { Scenario } from '../walk/walk-scenario.ts';
import { type WalkStride, walkStrides } from '../walk/walk-strides.ts';
import { legSupply } from './leg-supply.ts';
import type { StudyInput } from './study-input.ts';
import { mappedFaults } from './walk-faults.ts';
import { walkPlan } from './walk-plan.ts';

type Open = { readonly openBecause: string };

/** A scenario that is walked stride by stride. */
export interface OpenScenario {
  /** One stride further; false once it has fallen. */
  readonly stride: () => boolean;
  /** All so far, with the fall if there was one. Fault: as `openWalk`. */
  readonly log: () => WalkLog;
  /** The whole strides of a log. */
  readonly strides: (log: WalkLog) => readonly WalkStride[];
  /** N of wearer and leg. */
  readonly weight: number;
  /** What a reader must know of how the walk was made. */
  readonly notes: readonly string[];
}

/** Strides from the beginning of a walk, at 80 % of one, to its first contact. */
const BEFORE_CONTACT = 0.2;

function terrainOf(of: NonNullable<Scenario['terrain']>): Terrain {
  if (of.kind === 'slope') return slopeTerrain(of.angle);
  if (of.kind === 'step') return stepTerrain(of.height, of.at, of.over);
  return unevenTerrain(of.height, of.seed);
}

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
export function openScenario(input: StudyInput, of: Scenario, step: number): OpenScenario | Open {
  const plan = walkPlan(input, {
    ...(of.terrain?.kind === 'slope' && of.terrain.told && { told: of.terrain.angle }),
    speed: of.speed,
    control: of.control,
    thigh: of.thigh,
    ground: of.ground,
    ...(of.seed !== undefined && { seed: of.seed }),
  });
  if ('openBecause' in plan) return plan;
  const { strideTime } = plan.stride;
  const timeOf = ({ stride, place }: { readonly stride: number; readonly place: number }): number =>
    (BEFORE_CONTACT + stride - 1 + place) * strideTime;
  const { stop, fault } = of;
  const begins = stop === undefined ? 0 : timeOf(stop) - stop.over / 2;
  if (begins < 0) return { openBecause: 'its stop begins before the walk: stop later, or faster' };
  const known = fault === undefined ? undefined : mappedFaults(input.leg).find(({ id }) => id === fault.name);
  if (fault !== undefined && known === undefined)
    return { openBecause: `there is no fault \`${fault.name}\` in the fault map` };
  if (known?.openBecause !== undefined)
    return { openBecause: `its fault cannot be told: ${known.openBecause}` };
  const pace: Pace | undefined = stop === undefined ? of.cadence : paceOf(stop, begins, strideTime);
  const { machine } = plan;
  if (of.leaves !== undefined && machine === undefined)
    return { openBecause: 'only the study’s controller can be told when to leave stance: `control: study`' };
  const early = of.leaves === undefined ? undefined : leavingBelow(machine!, of.leaves);
  const setup = {
    ...plan.setup,
    ...(of.terrain && { terrain: terrainOf(of.terrain) }),
    ...(pace && { pace }),
    ...(fault && known && { fault: known.at(timeOf(fault)) }),
    ...(early && { controller: () => dataController(early) }),
  };
  const supply = legSupply(input.leg);
  const brake = 'openBecause' in supply ? undefined : supply.brake;
  const walk = openWalk(setup, step, of.strides);
  return {
    ...walk,
    strides: (log) =>
      walkStrides(log, {
        knee: setup.knee.reference,
        ankle: setup.ankle.reference,
        supply: setup.supply,
        ...(brake !== undefined && { brake }),
      }),
    weight: setup.course.weight,
    notes: plan.notes,
  };
}
