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

/**
 * A scenario of the study with steps of `step` s, or why it cannot be told.
 *
 * A stop covers over/2 at its own pace while it slows down, so that it begins that much before its place. On a slope
 * the leg goes against the ground as on the level, and the other leg's force as there.
 */
export function openScenario(input: StudyInput, of: Scenario, step: number): OpenScenario | Open {
  const plan = walkPlan(input, {
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
  const setup = {
    ...plan.setup,
    ...(of.terrain && { terrain: terrainOf(of.terrain) }),
    ...(pace && { pace }),
    ...(fault && known && { fault: known.at(timeOf(fault)) }),
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
