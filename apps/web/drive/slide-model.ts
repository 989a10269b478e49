import {
  type DrivenJoint,
  largestCurrent,
  type Requirement,
  torqueMetrics,
  torqueOf,
} from '@striderule/engine';
import type { Moving } from '../design/live-ratio.ts';
import type { Cell } from '../show/csv.ts';
import { degrees } from '../show/unit.ts';

/** A mark on the fixed scale against one on the sliding scale, both in the fixed scale's unit, and how they are called. */
export interface Against {
  readonly fixed: number;
  readonly sliding: number;
  /** Limit ÷ need: above 1 there is room. */
  readonly factor: number;
  readonly fixedName: string;
  readonly slidingName: string;
  /** The same where there is little room. */
  readonly short: readonly [fixed: string, sliding: string];
}

/** One pair of scales: what is asked at the joint, and what the motor brings against it. */
export interface Pair {
  readonly key: 'torque' | 'speed' | 'inertia';
  readonly fixed: { readonly name: string; readonly unit: string };
  readonly sliding: { readonly name: string; readonly unit: string };
  /** What the factor is called. */
  readonly of: string;
  /** Value of the sliding scale that stands against 1 of the fixed one. */
  readonly against: number;
  /** How far the sliding scale travels when the ratio does, as a power: +1, −1, +2. */
  readonly power: 1 | -1 | 2;
  readonly first: Against | undefined;
  readonly second?: (Against & { readonly of: string }) | undefined;
  /** A mark of the sliding scale that nothing is asked of, in the fixed scale's unit. */
  readonly mark?: { readonly sliding: number; readonly slidingName: string } | undefined;
  /** Why there is nothing to set against one another. */
  readonly gap?: string;
}

const RPM = 60 / (2 * Math.PI);
/** kg·cm² */
const GCM = 1e4;

const taskName = ({ input }: Moving, id: string | undefined): string =>
  input.tasks.find((task) => task.id === id)?.title ?? 'the worst task';

/** Torque: the worst task's need, losses and rotor included, against the current limit; over the day against what may be held for ever. */
function torquePair(moving: Moving, joint: DrivenJoint): Pair {
  const { input, design, ratio } = moving;
  const drive = input.leg.joints[joint]!;
  const { motor } = drive;
  const peak = torqueMetrics.torqueMargin!.value(input, design, joint, undefined);
  const limit = torqueOf(motor, largestCurrent(drive));
  const rms = design.schedule[joint]?.rmsTorque;
  const held = motor.continuousTorque;
  return {
    key: 'torque',
    fixed: { name: 'Joint torque', unit: 'N·m' },
    sliding: { name: 'Motor torque', unit: 'N·m' },
    of: 'peak',
    against: 1 / ratio,
    power: 1,
    first:
      'value' in peak
        ? {
            fixed: (ratio * limit) / peak.value,
            sliding: ratio * limit,
            factor: peak.value,
            fixedName: taskName(moving, peak.task),
            slidingName: `current limit ${limit.toFixed(2)}`,
            short: ['peak', `limit ${limit.toFixed(2)}`],
          }
        : undefined,
    ...('openBecause' in peak && { gap: peak.openBecause }),
    second:
      rms === undefined || Number.isNaN(rms) || held === undefined
        ? undefined
        : {
            fixed: ratio * rms,
            sliding: ratio * held,
            factor: held / rms,
            fixedName: 'rms of the day',
            slidingName: `for ever ${held.toFixed(2)}`,
            short: ['day', `for ever ${held.toFixed(1)}`],
            of: 'day rms',
          },
  };
}

/** Speed: the worst task's, against what the bus allows at the current of that instant. */
function speedPair(moving: Moving, joint: DrivenJoint): Pair {
  const { input, design, ratio } = moving;
  const worst = torqueMetrics.speedMargin!.value(input, design, joint, undefined);
  const unloaded = design.figures[joint]?.unloadedSpeed ?? Number.NaN;
  const load = 'value' in worst ? design.loads[worst.task ?? '']?.[joint] : undefined;
  const limit =
    load === undefined
      ? degrees(unloaded)
      : degrees((load.speedLimit[load.speedMarginIndex] ?? Number.NaN) / ratio);
  return {
    key: 'speed',
    fixed: { name: 'Joint speed', unit: '°/s' },
    sliding: { name: 'Motor speed', unit: 'rpm' },
    of: 'speed',
    against: (ratio * RPM) / degrees(1),
    power: -1,
    first:
      'value' in worst && Number.isFinite(limit) && worst.value > 0
        ? {
            fixed: limit / worst.value,
            sliding: limit,
            factor: worst.value,
            fixedName: taskName(moving, worst.task),
            slidingName: 'bus limit at that current',
            short: ['fastest', 'bus limit'],
          }
        : undefined,
    ...('openBecause' in worst && { gap: worst.openBecause }),
  };
}

/** Inertia that is felt at the joint, against what the study asks of it. */
function inertiaPair(moving: Moving, joint: DrivenJoint, asked: Requirement | undefined): Pair {
  const { input, design, ratio } = moving;
  const { motor, transmission: t } = input.leg.joints[joint]!;
  const shaft = motor.rotorInertia + t.inputInertia;
  const felt = design.figures[joint]?.reflectedInertia ?? Number.NaN;
  return {
    key: 'inertia',
    fixed: { name: 'Felt at the joint', unit: 'kg·m²' },
    sliding: { name: 'Rotor and gears', unit: 'kg·cm²' },
    of: 'inertia',
    against: GCM / ratio ** 2,
    power: 2,
    first:
      asked === undefined
        ? undefined
        : {
            fixed: asked.bound.value,
            sliding: felt,
            factor: asked.bound.value / felt,
            fixedName: 'asked: at most',
            slidingName: `this motor ${(shaft * GCM).toFixed(2)}`,
            short: ['at most', 'this motor'],
          },
    mark:
      asked === undefined
        ? { sliding: felt, slidingName: `this motor ${(shaft * GCM).toFixed(2)}` }
        : undefined,
  };
}

/** Everything on the slide at one ratio. */
export function slidePairs(moving: Moving, joint: DrivenJoint): readonly [Pair, Pair, Pair] {
  const inertia = moving.input.requirements.find(
    (r) =>
      r.metric === 'reflectedInertia' &&
      (r.joint === joint || r.joint === undefined) &&
      r.bound.kind === 'at most',
  );
  return [torquePair(moving, joint), speedPair(moving, joint), inertiaPair(moving, joint, inertia)];
}

/** The low end of a scale of two decades whose top is 1, 3, 5 × 10^n and leaves some air above `most`. */
function lowEnd(most: number): number {
  const decade = 10 ** Math.floor(Math.log10(most));
  const top = [1, 3, 5, 10, 30].find((x) => x * decade >= 1.2 * most) ?? 30;
  return (top * decade) / 100;
}

/** Low ends of the three fixed scales: from the saved design, so that they hold still while the ratio moves. */
export function lowEnds(saved: Moving, joint: DrivenJoint): readonly [number, number, number] {
  const most = slidePairs(saved, joint).map(({ first, mark }) =>
    Math.max(first?.fixed ?? 0, first?.sliding ?? 0, mark?.sliding ?? 0),
  );
  const [torque, speed, inertia] = most.map((x) => (x > 0 && Number.isFinite(x) ? lowEnd(1.4 * x) : 1));
  return [torque ?? 1, speed ?? 1, inertia ?? 1];
}

/** The marks that stand against one another at a ratio, head first. */
export function slideRows(moving: Moving, joint: DrivenJoint): readonly (readonly Cell[])[] {
  const rows = slidePairs(moving, joint).flatMap(({ fixed: { name, unit }, of, first, second }) =>
    [first && { of, ...first }, second].flatMap((row) =>
      row === undefined
        ? []
        : [
            [
              moving.ratio,
              name,
              row.of,
              row.fixedName,
              row.fixed,
              row.slidingName,
              row.sliding,
              unit,
              row.factor,
            ],
          ],
    ),
  );
  return [
    [
      'ratio',
      'scale',
      'what',
      'on the fixed scale',
      'value there',
      'on the sliding scale',
      'value against it',
      'unit',
      'limit ÷ need',
    ],
    ...rows,
  ];
}
