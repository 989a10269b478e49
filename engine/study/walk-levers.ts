import type { DrivenJoint } from '../gait/stride.ts';
import { spreadDeviation } from '../quantity/spread.ts';
import { benchTestOf } from './bench-test.ts';
import { DRIVEN } from './design.ts';
import type { StudyInput } from './study-input.ts';
import { typicalSpread } from './typical-spread.ts';
import { NO_CHANGE, type WalkChange } from './walk-change.ts';
import { valueAt, withValue } from './with-value.ts';

/** A study and what of its walk is otherwise than planned. */
export interface WalkedStudy {
  readonly input: StudyInput;
  readonly change: WalkChange;
}

/** One number whose price is asked. */
export interface WalkLever {
  readonly id: string;
  readonly title: string;
  /** What a price is told by, such as `100 g`, and how much of the lever's own unit that is. */
  readonly per: string;
  readonly size: number;
  readonly nominal: number;
  /** How far it usually lies off: a standard deviation; for what a builder chooses, a step that one would try. */
  readonly spread: number;
  readonly origin: 'leg file' | 'typical' | 'step';
  /** What measures it; left out where it is chosen, not measured. */
  readonly test?: string;
  /** Lower and upper value of the small and of the large step. */
  readonly narrow: readonly [low: number, high: number];
  readonly wide: readonly [low: number, high: number];
  /** The study walked with it at `value`. */
  readonly at: (study: WalkedStudy, value: number) => WalkedStudy;
}

/** Steps that a builder would try. Our own choice, all of them: share of a ratio and of a spring or damper, kg, rad. */
const STEP = { ratio: 0.05, impedance: 0.1, mass: 0.1, angle: Math.PI / 360 };
/** The small step ÷ the large one. */
const NARROW = 0.5;

/** Of the drives: path in a joint, words, what a price is told by, how much of its SI unit that is. */
const OF_DRIVE: readonly (readonly [path: string, title: string, per: string, size: number])[] = [
  ['transmission.drivingEfficiency', 'mesh efficiency, motor drives', '1 %', 0.01],
  ['transmission.backDrivenEfficiency', 'mesh efficiency, joint drives', '1 %', 0.01],
  ['motor.coulombDrag', 'dry friction of the motor, turning', '10 mN·m', 0.01],
  ['motor.breakawayDrag', 'breakaway of the motor', '10 mN·m', 0.01],
  ['motor.viscousDrag', 'viscous drag of the motor', '0.1 mN·m·s', 1e-4],
  ['transmission.outputCoulomb', 'dry friction of the output, turning', '0.1 N·m', 0.1],
  ['transmission.outputBreakaway', 'breakaway of the output', '0.1 N·m', 0.1],
  ['motor.rotorInertia', 'inertia of the rotor', '0.1 kg·cm²', 1e-5],
];

const onLeg =
  (path: string): WalkLever['at'] =>
  ({ input, change }, value) => ({ change, input: { ...input, leg: withValue(input.leg, path, value) } });
const onChange =
  (path: string): WalkLever['at'] =>
  ({ input, change }, value) => ({ input, change: withValue(change, path, value) });

const both = (nominal: number, step: number): readonly [number, number] => [nominal - step, nominal + step];
const steps = (nominal: number, spread: number): Pick<WalkLever, 'narrow' | 'wide'> => ({
  narrow: both(nominal, NARROW * spread),
  wide: both(nominal, spread),
});

/**
 * What the price of hip work is asked of: ratio, torque constant, mesh and friction of each drive, springs and dampers of stance and swing, mass
 * of shank and foot where their centres are, delays, alignment. A number with a spread in the leg file moves by its standard deviation, one
 * without by what is typical of its kind; the rest by a step that a builder would try.
 */
export function walkLevers(input: StudyInput): readonly WalkLever[] {
  return [...DRIVEN.flatMap((joint) => ofJoint(input, joint)), ...ofLeg(input)];
}

function ofJoint(input: StudyInput, joint: DrivenJoint): WalkLever[] {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return [];
  const home = `joints.${joint}`;
  const { ratio } = drive.transmission;
  const flux = `${home}.motor.fluxLinkage`;
  const measured = OF_DRIVE.flatMap(([own, title, per, size]): WalkLever[] => {
    const path = `${home}.${own}`;
    const nominal = valueAt(input.leg, path) as number;
    const known = spreadAt(input, path, nominal);
    // an efficiency stays below 1, and what cannot be negative stays above 0
    const room = own.endsWith('Efficiency') ? Math.min(nominal, 1 - nominal) : nominal;
    if (known === undefined || !(Math.min(known.spread, room) > 0)) return [];
    return [
      {
        id: path,
        title: `${joint}: ${title}`,
        per,
        size,
        nominal,
        ...known,
        ...steps(nominal, Math.min(known.spread, room)),
        at: onLeg(path),
      },
    ];
  });
  const constant = spreadAt(input, flux, drive.motor.fluxLinkage);
  const factor = (id: string, title: string): WalkLever => ({
    id,
    title: `${joint}: ${title}`,
    per: '10 %',
    size: 0.1,
    nominal: 1,
    spread: STEP.impedance,
    origin: 'step',
    ...steps(1, STEP.impedance),
    at: onChange(id),
  });
  return [
    {
      id: `${home}.transmission.ratio`,
      title: `${joint}: ratio`,
      per: '1:1',
      size: 1,
      nominal: ratio,
      spread: STEP.ratio * ratio,
      origin: 'step',
      ...steps(ratio, STEP.ratio * ratio),
      at: onLeg(`${home}.transmission.ratio`),
    },
    ...(constant === undefined
      ? []
      : [
          {
            ...factor(`torqueConstant.${joint}`, 'torque constant, software none the wiser'),
            per: '1 %',
            size: 0.01,
            ...constant,
            spread: constant.spread / drive.motor.fluxLinkage,
            ...steps(1, constant.spread / drive.motor.fluxLinkage),
            at: (study: WalkedStudy, value: number) =>
              onLeg(flux)(
                onChange(`torqueConstant.${joint}`)(study, value),
                value * (valueAt(study.input.leg, flux) as number),
              ),
          },
        ]),
    ...measured,
    factor(`stance.${joint}.stiffness`, 'springs of stance'),
    factor(`stance.${joint}.damping`, 'dampers of stance'),
    factor(`swing.${joint}.stiffness`, 'spring of swing'),
    factor(`swing.${joint}.damping`, 'damper of swing'),
  ];
}

function ofLeg({ leg }: StudyInput): WalkLever[] {
  const { controller, thighSensor } = leg;
  const angle = (
    id: 'ankleNeutral' | 'thighReading' | 'socketFlexion',
    title: string,
    stated?: number,
  ): WalkLever => ({
    id,
    title,
    per: '1°',
    size: Math.PI / 180,
    nominal: 0,
    spread: stated ?? STEP.angle,
    origin: stated === undefined ? 'step' : 'leg file',
    ...steps(0, stated ?? STEP.angle),
    at: onChange(id),
  });
  const mass = (segment: 'shank' | 'foot'): WalkLever => ({
    id: `segments.${segment}.mass`,
    title: `mass at the ${segment}’s centre`,
    per: '100 g',
    size: 0.1,
    nominal: leg.segments[segment].mass,
    spread: STEP.mass,
    origin: 'step',
    ...steps(leg.segments[segment].mass, STEP.mass),
    at: onLeg(`segments.${segment}.mass`),
  });
  // whole periods: no half steps, and none below zero
  const periods = (id: string, title: string, nominal: number, at: (count: number) => number): WalkLever => ({
    id,
    title,
    per: 'period',
    size: 1,
    nominal,
    spread: 1,
    origin: 'step',
    narrow: [Math.max(0, nominal - 1), nominal + 1],
    wide: [Math.max(0, nominal - 2), nominal + 2],
    at: (study, value) => onLeg(id)(study, at(value)),
  });
  return [
    mass('shank'),
    mass('foot'),
    ...(controller === undefined
      ? []
      : [
          periods(
            'controller.delayPeriods',
            'delay from sample to torque',
            Math.ceil(controller.delayPeriods),
            (count) => count,
          ),
          ...(thighSensor?.delay === undefined
            ? []
            : [
                periods(
                  'thighSensor.delay',
                  'delay of the thigh’s sensor',
                  Math.ceil(thighSensor.delay / controller.period - 1e-9),
                  (count) => count * controller.period,
                ),
              ]),
        ]),
    angle('ankleNeutral', 'foot set further up, software none the wiser'),
    angle('thighReading', 'thigh read too far forward', thighSensor?.poseError || undefined),
    angle('socketFlexion', 'socket more flexed, sensor set anew'),
  ];
}

/** Standard deviation of the number at `path` in the leg, whence, and what measures it; undefined where nothing is known. */
function spreadAt(
  { spreads }: StudyInput,
  path: string,
  nominal: number,
): Pick<WalkLever, 'spread' | 'origin' | 'test'> | undefined {
  const stated = spreads.find((spread) => spread.path === path && spreadDeviation(spread) > 0);
  const spread = stated ?? typicalSpread(path, nominal);
  if (spread === undefined) return undefined;
  const test = benchTestOf(path);
  return {
    spread: spreadDeviation(spread),
    origin: stated === undefined ? 'typical' : 'leg file',
    ...(test !== undefined && { test }),
  };
}

export const asPlanned = (input: StudyInput): WalkedStudy => ({ input, change: NO_CHANGE });
