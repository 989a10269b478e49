import { type FaultTrial, openTrials, TRIAL_STRIDES, trialTicks } from '../walk/fault-trial.ts';
import type { WalkFault } from '../walk/walk-fault.ts';
import { walkRun } from '../walk/walk-run.ts';
import type { StudyInput } from './study-input.ts';
import { type WalkChoice, walkPlan } from './walk-plan.ts';
import { type OpenReport, reportedWalk } from './walk-report.ts';

type Open = { readonly openBecause: string };

/** A fault that the map tries, by the name that a hazard list may call it; or what the leg file lacks for it. */
export interface MappedFault {
  readonly id: string;
  readonly title: string;
  readonly at: (time: number) => WalkFault;
  readonly openBecause?: string;
}

const DEG = Math.PI / 180;
const EVER = Number.POSITIVE_INFINITY;
/**
 * Sizes of faults, all our own choice. Beyond what the demo controller watches for: a jump of 10°. Below it: 1.5° of a slipped encoder, 5° of a
 * socket that has turned on the limb, 30 ms without the thigh, 100 N too much on the load cell. 0.8 of the nominal voltage is near what a
 * lithium-ion cell has when it is empty, 3.0 of 3.7 V: COMMON PRACTICE.
 */
const SIZES = { jump: 10 * DEG, slip: 1.5 * DEG, turn: 5 * DEG, gap: 0.03, load: 100, empty: 0.8 } as const;

/** Every fault that the map tries on this leg. */
export function mappedFaults(leg: StudyInput['leg']): readonly MappedFault[] {
  const { period } = leg.controller ?? { period: 1e-3 };
  const made: MappedFault[] = [];
  const without = (['knee', 'ankle'] as const).filter((name) => leg.joints[name]?.lossOfPower === undefined);
  const phases =
    without.length === 0
      ? {}
      : { openBecause: `add \`lossOfPower\` under \`electronics\` of the ${without.join(' and the ')}` };
  made.push({
    id: 'power-lost',
    title: 'all power lost',
    at: (time) => ({ kind: 'power', time }),
    ...phases,
  });
  made.push({
    id: 'pack-opens',
    title: 'pack opens',
    at: (time) => ({ kind: 'pack', time }),
    ...phases,
    ...(leg.bus?.capacitance === undefined && { openBecause: 'add `capacitance` under `bus`' }),
  });
  type Reading = Extract<WalkFault, { kind: 'reading' }>;
  const reading = (
    id: string,
    title: string,
    sensor: Reading['sensor'],
    how: Reading['how'],
    lasts: number,
    by?: number,
  ) =>
    made.push({
      id,
      title,
      at: (time) => ({ kind: 'reading', time, sensor, how, lasts, ...(by !== undefined && { by }) }),
    });
  for (const joint of ['knee', 'ankle'] as const) {
    reading(`${joint}-missing`, `${joint} angle missing`, joint, 'missing', EVER);
    reading(`${joint}-stuck`, `${joint} angle stuck`, joint, 'stuck', EVER);
    reading(`${joint}-jumps`, `${joint} angle jumps 10°, once`, joint, 'off', period, SIZES.jump);
    reading(`${joint}-slips`, `${joint} encoder slips 1.5°`, joint, 'off', EVER, SIZES.slip);
  }
  reading('thigh-missing', 'thigh sensor missing', 'thigh', 'missing', EVER);
  reading('thigh-gap', 'thigh sensor missing for 30 ms', 'thigh', 'missing', SIZES.gap);
  reading('thigh-stuck', 'thigh sensor stuck', 'thigh', 'stuck', EVER);
  reading('thigh-turns', 'thigh sensor turns 5°', 'thigh', 'off', EVER, SIZES.turn);
  reading('load-missing', 'load missing', 'load', 'missing', EVER);
  reading('load-stuck', 'load stuck', 'load', 'stuck', EVER);
  reading('load-off', 'load 100 N too much', 'load', 'off', EVER, SIZES.load);
  const limits = (['knee', 'ankle'] as const).flatMap(
    (name) => leg.joints[name]?.thermal?.windingLimit ?? [],
  );
  made.push({
    id: 'windings-hot',
    title: 'windings at their limit',
    at: (time) => ({ kind: 'hot', time, winding: Math.min(...limits) }),
    ...(limits.length === 0 && { openBecause: 'add `thermal` to the joints' }),
  });
  made.push({
    id: 'pack-empty',
    title: 'pack empty',
    at: (time) => ({ kind: 'empty', time, voltage: SIZES.empty * leg.busVoltage }),
  });
  return made;
}

type Trial = FaultTrial & { readonly noticedBy?: string };

/** How one fault of the map, by its id, ended at one place. */
export type MappedTrial = Trial & { readonly id: string };

/** One fault at every place of the stride. */
export interface FaultRow {
  readonly id: string;
  readonly title: string;
  readonly trials: readonly Trial[];
  readonly openBecause?: string;
}

/** All faults at one speed, worked out place by place. */
export interface OpenFaultMap {
  /** Every fault that can be told, begun at a share of the stride; the same whatever was tried before. */
  readonly at: (place: number) => readonly MappedTrial[];
  /** Share of the stride in stance, of the stride that is walked. */
  readonly stance: number;
  /** Where the walk falls without any fault: in words. */
  readonly fell?: string;
}

/** What a reader of the map must know. */
export const FAULT_MAP_NOTES: readonly string[] = [
  'A stumble, beside the same walk without the fault: the hip 50 mm lower; a knee bent 10° more at contact, or 20° more under a fifth of the weight; the foot on the ground in mid-swing; a contact late by a tenth of a stride. Our own lines.',
  'A fall: the hip at 0.8 of its height, or a knee at 138°. Thigh and other leg go on as if nothing had happened, and a guide holds the hip: nobody catches himself here, and nobody is held so. It compares controllers and hardware, and rehearses no fall.',
  'A measure that a map shows is not a measure that was tried: bench and harness come first.',
];

/** A whole walk with one fault of the map, which begins where and when that trial of the map does; the reason where it cannot be told. */
export function openFaultWalk(
  input: StudyInput,
  choice: Omit<WalkChoice, 'control'>,
  { step, fault, place }: { readonly step: number; readonly fault: string; readonly place: number },
): (OpenReport & { readonly strides: number }) | Open {
  const plan = walkPlan(input, { ...choice, control: 'study' });
  if ('openBecause' in plan) return plan;
  const known = mappedFault(input.leg, fault);
  if ('openBecause' in known) return known;
  const { setup } = plan;
  const time = trialTicks(walkRun(setup, step, 1))(place) * setup.period;
  const length = { step, strides: TRIAL_STRIDES };
  return {
    ...reportedWalk(input, { ...choice, control: 'study' }, plan, length, { fault: known.at(time) }),
    strides: TRIAL_STRIDES,
  };
}

/** The fault of that name; why there is none. */
export function mappedFault(leg: StudyInput['leg'], name: string): Pick<MappedFault, 'at'> | Open {
  const known = mappedFaults(leg).find(({ id }) => id === name);
  if (known === undefined) return { openBecause: `there is no fault \`${name}\` in the fault map` };
  if (known.openBecause !== undefined)
    return { openBecause: `its fault cannot be told: ${known.openBecause}` };
  return { at: known.at };
}

/** Trials as they were found, place by place, row by row of the leg's map. */
export const faultRows = (leg: StudyInput['leg'], found: readonly MappedTrial[]): readonly FaultRow[] =>
  mappedFaults(leg).map(({ id, title, openBecause }) => ({
    ...{ id, title },
    trials: found.filter((trial) => trial.id === id).map(({ id: _, ...trial }) => trial),
    ...(openBecause !== undefined && { openBecause }),
  }));

/** The fault map of the study's leg under its controller file; the reason where it cannot be told. */
export function openFaultMap(
  input: StudyInput,
  choice: Omit<WalkChoice, 'control'>,
  step: number,
): OpenFaultMap | Open {
  const plan = walkPlan(input, { ...choice, control: 'study' });
  if ('openBecause' in plan) return plan;
  const { watches } = plan.machine!;
  const known = mappedFaults(input.leg).filter(({ openBecause }) => openBecause === undefined);
  const begins = known.map(({ at }) => at);
  const trials = openTrials(plan.setup, step);
  const { fell } = trials.sound;
  return {
    at: (place) =>
      trials.at(place, begins).map((trial, k) => {
        const noticedBy = trial.noticed > 0 ? watches[trial.noticed - 1] : undefined;
        return { id: known[k].id, ...trial, ...(noticedBy !== undefined && { noticedBy }) };
      }),
    stance: plan.stride.stance,
    ...(fell !== undefined && { fell: `${fell.why} after ${fell.time.toFixed(2)} s` }),
  };
}
