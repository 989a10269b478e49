import type { JointDrive } from '../drive/leg-drive.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { Fault } from '../quantity/fault.ts';
import { nearestName } from '../quantity/nearest-name.ts';
import type { DesignResult } from './design.ts';
import { heatPathOf } from './heat.ts';
import {
  backDriveRequirements,
  type RatioCandidate,
  type RatioCase,
  ratioCandidates,
} from './ratio-candidate.ts';
import { ratioTasks } from './ratio-tasks.ts';
import { type SmallestRatio, smallestRatio } from './smallest-ratio.ts';
import type { StudyInput } from './study-input.ts';

/** Ratios that are looked at where none are asked for; our choice: a reader finds the usual ones among them. */
export const RATIOS: readonly number[] = [
  4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 33, 36, 40, 45, 50, 60, 80, 100,
];

/** One motor behind many ratios at one joint. */
export interface RatioScan {
  readonly motor: string;
  /** Whether it is the leg's own, with the leg file's drag and heat path. */
  readonly own: boolean;
  /** By rising ratio. */
  readonly candidates: readonly RatioCandidate[];
  /** Between the ratios looked at as well; undefined where no task asks anything of the joint. */
  readonly smallest: SmallestRatio | undefined;
  /** The smallest of `candidates` that carries every task and stays within the winding's limit in each, were it done for ever. */
  readonly forEver: RatioCandidate | undefined;
  /** Why nothing is said of heat. */
  readonly heatOpen?: string;
  /** Tasks of which nothing is known at this joint. */
  readonly unknown: readonly string[];
}

/**
 * A motor in the place of the leg's: its own name gives the leg's motor as the leg file has it, any other one of the study's catalogue.
 * Left out: the leg's.
 *
 * Gears are the leg file's at every ratio: mesh efficiencies, inertias and friction of the same stages. Real ones change with ratio and
 * stages, so that a scan tells a direction, and the chosen ratio is judged again with its own gears.
 *
 * Faults: a joint without drive, a motor that is not in the catalogue or lacks something.
 */
export function ratioScan(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
  { motor, ratios = RATIOS }: { readonly motor?: string; readonly ratios?: readonly number[] } = {},
): RatioScan {
  const c = ratioCase(input, design, joint, motor);
  const rising = [...new Set(ratios)].sort((a, b) => a - b);
  const candidates = ratioCandidates(c, rising);
  const own = input.leg.joints[joint]!.motor.name;
  return {
    motor: motor ?? own,
    own: motor === undefined || motor === own,
    candidates,
    smallest: smallestRatio(c),
    forEver: candidates.find(
      ({ carries, winding }) => carries && winding !== undefined && winding.margin >= 1,
    ),
    ...('openBecause' in c.heat && { heatOpen: c.heat.openBecause }),
    unknown: c.tasks.unknown,
  };
}

/** From `from` to `to` in `count` steps of one factor, both ends included. */
export const ratioGrid = (from: number, to: number, count: number): number[] =>
  Array.from({ length: count }, (_, k) => from * (to / from) ** (k / (count - 1)));

// By the study and design it was made from, then joint and motor: pure, so remembering it changes nothing but time.
const made = new WeakMap<StudyInput, WeakMap<DesignResult, Map<string, RatioCase>>>();

/** The leg's joint with this motor, and what it is judged against. Faults: a joint without drive, a motor that is not in the catalogue. */
export function ratioCase(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
  motor?: string,
): RatioCase {
  const designs = made.get(input) ?? new WeakMap<DesignResult, Map<string, RatioCase>>();
  made.set(input, designs);
  const cases = designs.get(design) ?? new Map<string, RatioCase>();
  designs.set(design, cases);
  const key = JSON.stringify([joint, motor]);
  const c = cases.get(key) ?? caseOf(input, design, joint, motor);
  cases.set(key, c);
  return c;
}

function caseOf(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
  motor: string | undefined,
): RatioCase {
  const drive = driveWithMotor(input, joint, motor);
  const heat =
    drive.thermal === undefined && drive.motor.name !== input.leg.joints[joint]!.motor.name
      ? {
          openBecause: `the catalogue gives no thermal resistances and winding limit for ${drive.motor.name}`,
        }
      : heatPathOf({ ...input, leg: { ...input.leg, joints: { [joint]: drive } } }, joint);
  return {
    drive,
    tasks: ratioTasks(input, design, joint),
    busVoltage: input.leg.busVoltage,
    busResistance: input.leg.bus?.resistance ?? 0,
    heat,
    backDrive: backDriveRequirements(input, joint),
    ownRatio: input.leg.joints[joint]!.transmission.ratio,
  };
}

/** The leg's joint with a motor of the catalogue and its heat path in the place of its own. Faults: a joint without drive, an unknown motor. */
export function driveWithMotor(input: StudyInput, joint: DrivenJoint, motor?: string): JointDrive {
  const own = input.leg.joints[joint];
  if (own === undefined) {
    throw new Fault({
      code: 'study.no-drive',
      what: `The leg has no ${joint} drive`,
      mend: 'Scan a joint that it drives, or give it a motor and a transmission',
    });
  }
  if (motor === undefined || motor === own.motor.name) return own;
  const entry = input.catalogue?.motors.find((m) => m.motor.name === motor);
  if (entry === undefined) throw unknownMotor(motor, input);
  const { thermal: _, ...rest } = own;
  return { ...rest, motor: entry.motor, ...(entry.thermal && { thermal: entry.thermal }) };
}

function unknownMotor(named: string, { catalogue }: StudyInput): Fault {
  const known = (catalogue?.motors ?? []).map(({ motor }) => motor.name);
  const lacks = catalogue?.leftOut.find(({ name }) => name === named)?.lacks;
  const near = nearestName(named, known);
  return new Fault({
    code: 'study.unknown-motor',
    what:
      lacks === undefined
        ? `There is no motor \`${named}\` in the catalogue`
        : `The catalogue does not tell enough of \`${named}\``,
    mend:
      lacks !== undefined
        ? `Add to motors/*.csv: ${lacks.join(', ')}`
        : near === undefined
          ? `Use one of: ${known.join(', ')}`
          : `Did you mean \`${near}\`?`,
  });
}
