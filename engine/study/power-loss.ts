import { freeFoldSpeed } from '../drive/free-fold.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import { type PhaseShort, shortCurrent, shortPeak } from '../drive/shorted-phases.ts';
import { unpoweredBrake, yieldSpeed } from '../drive/unpowered-brake.ts';
import type { StrideDemand } from '../gait/demand-result.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { type Rad, rad } from '../quantity/angle.ts';
import type { DesignResult } from './design.ts';
import { LANDS_BENT, landing, largestStanceLoad, loadAt, phasesOf, swingMoments } from './power-lost.ts';
import type { StudyInput } from './study-input.ts';

/**
 * holds: breakaway carries the load. yields: it gives at SLOW_YIELD at most. gives way: faster, or at no steady speed. straightens: the
 * same at any speed of a knee whose load straightens it, which its stop then takes.
 * swings through, lands bent: an unpowered knee in swing, by its flexion at contact. unknown: no moment, or no thigh, was published.
 */
export type LossVerdict =
  | 'holds'
  | 'yields'
  | 'gives way'
  | 'straightens'
  | 'swings through'
  | 'lands bent'
  | 'unknown';

/** One joint at one instant of a stride, its power just lost. */
export interface LossState {
  readonly percent: number;
  readonly phase: 'stance' | 'swing';
  /** N·m that the unpowered joint is left with; positive bends the knee, or the ankle up. NaN where not known. */
  readonly load: number;
  /** N·m with which the unpowered joint resists at the stride's own speed there. */
  readonly brake: number;
  /** rad/s at which it gives under the load, steadily; 0 held, +∞ never steady. */
  readonly yieldSpeed: number;
  /** rad, knee in swing: flexion at contact beyond the stride's own. */
  readonly flexionLeft?: Rad;
  readonly verdict: LossVerdict;
}

/** One resistance in the short over the stride of one task. */
export interface ShortStates {
  readonly short: PhaseShort;
  /** Whether it is the leg file's. */
  readonly own: boolean;
  /** Power lost at each 5 % of the stride. */
  readonly states: readonly LossState[];
}

/** One resistance in the short, what it is worth in stance and in swing of one task. */
export interface TradeRow extends ShortStates {
  /** rad/s under the largest stance load of the task. */
  readonly yieldSpeed: number;
  /** rad: the most flexion left, over the instants of swing; and the per cent of the stride at which power was lost then. */
  readonly flexionLeft: Rad;
  readonly lostAt: number;
  /** s from where the knee is bent most, power lost there, until it is within LANDS_BENT of landing; +∞ where not before contact. */
  readonly extensionTime: number;
  readonly servesStance: boolean;
  readonly servesSwing: boolean;
}

/** Loss of power of one joint over the tasks. */
export interface JointPowerLoss {
  readonly short: PhaseShort;
  /** rad/s at which a knee folds that nothing holds, a yardstick: see `freeFoldSpeed`. Absent for the ankle. */
  readonly freeFold?: number;
  /** Where the short brakes most: joint rad/s, N·m at the joint with the mesh. Absent with open phases. */
  readonly peak?: { readonly speed: number; readonly torque: number };
  /** A peak phase that the short drives at the fastest of these strides, settled; and A that hurt the magnets, where known. */
  readonly current?: number;
  readonly demagnetisationCurrent?: number;
  readonly tasks: readonly {
    readonly id: string;
    readonly title: string;
    readonly stance: number;
    readonly states: readonly LossState[];
  }[];
  /** Tasks without a curve of this joint. */
  readonly leftOut: readonly string[];
}

/** rad/s at which a joint may give in stance: half a second, in which the other foot comes down, is then less than 30°. Our choice. */
export const SLOW_YIELD = 1;

/** Flexion at which the yardstick of a knee that nothing holds is taken. Our choice; it hardly matters. */
const FOLDED = rad(Math.PI / 3);
/** Samples between two instants that are looked at: 5 % of the stride. */
const EVERY = 10;

/** What the hardware's answer to loss of power gives at every 5 % of each task's stride. */
export function jointPowerLoss(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
): JointPowerLoss | { readonly openBecause: string } {
  const phases = phasesOf(input, joint);
  if ('openBecause' in phases) return phases;
  const { drive, short } = phases;
  const tasks: JointPowerLoss['tasks'][number][] = [];
  const leftOut: string[] = [];
  let fastest = 0;
  for (const [id, demand] of Object.entries(design.demands)) {
    const asked = demand.kind === 'stride' ? demand.joints[joint] : undefined;
    if (demand.kind !== 'stride' || asked === undefined) {
      leftOut.push(demand.task.title);
      continue;
    }
    for (const velocity of asked.velocity) fastest = Math.max(fastest, Math.abs(velocity));
    const states = lossStates(input, demand, joint, drive, short);
    tasks.push({ id, title: demand.task.title, stance: demand.stance, states });
  }
  const { motor, transmission } = drive;
  const { thighLength, shank } = input.leg.segments;
  const limit = motor.demagnetisationCurrent;
  return {
    short,
    ...(joint === 'knee' && { freeFold: freeFoldSpeed(thighLength, shank.length, FOLDED) }),
    ...(short !== 'open' && {
      peak: peakOf(drive, short),
      current: shortCurrent(motor, transmission.ratio * fastest, short),
    }),
    ...(limit !== undefined && { demagnetisationCurrent: limit }),
    tasks,
    leftOut,
  };
}

/** One joint at every 5 % of one stride, power lost there, its phases shorted through `short`. */
function lossStates(
  input: StudyInput,
  demand: StrideDemand,
  joint: DrivenJoint,
  drive: JointDrive,
  short: PhaseShort,
): LossState[] {
  const { angle, velocity } = demand.joints[joint]!;
  const states: LossState[] = [];
  for (let i = 0; i < angle.length - 1; i += EVERY) {
    const load = loadAt(drive, demand, joint, i);
    const speed = yieldSpeed(drive, short, load);
    const phase = demand.percent[i] <= 100 * demand.stance ? 'stance' : 'swing';
    const swings = joint === 'knee' && phase === 'swing';
    const left = swings ? landing(input, demand, drive, short, i)?.flexionLeft : undefined;
    states.push({
      percent: demand.percent[i],
      phase,
      load,
      brake: unpoweredBrake(drive, short, Math.abs(velocity[i])),
      yieldSpeed: speed,
      ...(left !== undefined && { flexionLeft: left }),
      verdict: swings ? landingVerdict(left) : loadVerdict(joint, load, speed),
    });
  }
  return states;
}

function peakOf(drive: JointDrive, short: number): { speed: number; torque: number } {
  const speed = shortPeak(drive.motor, short).speed / drive.transmission.ratio;
  return { speed, torque: unpoweredBrake(drive, short, speed) };
}

const landingVerdict = (left: Rad | undefined): LossVerdict =>
  left === undefined || Number.isNaN(left) ? 'unknown' : left <= LANDS_BENT ? 'swings through' : 'lands bent';

function loadVerdict(joint: DrivenJoint, load: number, speed: number): LossVerdict {
  if (Number.isNaN(speed)) return 'unknown';
  if (speed === 0) return 'holds';
  if (joint === 'knee' && load < 0) return 'straightens';
  return speed <= SLOW_YIELD ? 'yields' : 'gives way';
}

/** Ω per phase at which the trade is looked at, with open phases and the leg's own beside them. */
const TRIED: readonly number[] = [0, 0.1, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3];

/**
 * One joint in one task over resistances in the short, TRIED and the leg file's own among them, and open phases last: what it does when
 * power is lost at each 5 % of the stride. Gives the reason where the joint has no drive or the task no curve of it.
 */
export function shortStates(
  input: StudyInput,
  demand: StrideDemand,
  joint: DrivenJoint,
): readonly ShortStates[] | { readonly openBecause: string } {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
  if (demand.joints[joint] === undefined)
    return { openBecause: `${demand.task.title} has no ${joint} curve` };
  const phases = phasesOf(input, joint);
  const own = 'short' in phases ? phases.short : undefined;
  const resistances = typeof own === 'number' ? [...TRIED, own] : TRIED;
  const tried = [...new Set(resistances)].sort((a, b) => a - b);
  return [...tried, 'open' as const].map((short) => ({
    short,
    own: short === own,
    states: lossStates(input, demand, joint, drive, short),
  }));
}

/**
 * One task's knee over resistances in the short: what it does when power is lost at each 5 % of the stride, how fast it yields under
 * the largest stance load, and how bent it lands when power is lost anywhere in swing. Gives the reason where the task has no moments in stance or no thigh motion.
 */
export function shortTrade(
  input: StudyInput,
  demand: StrideDemand,
): readonly TradeRow[] | { readonly openBecause: string } {
  const drive = input.leg.joints.knee;
  if (drive === undefined) return { openBecause: 'the leg has no knee drive' };
  const stance = largestStanceLoad(drive, demand, 'knee');
  if (stance === undefined) return { openBecause: `${demand.task.title} has no knee moments in stance` };
  const tried = shortStates(input, demand, 'knee');
  if ('openBecause' in tried) return tried;
  const bent = swingMoments(demand).at(-1)!;
  const rows: TradeRow[] = [];
  for (const { short, own, states } of tried) {
    let worst = { left: Number.NEGATIVE_INFINITY, at: Number.NaN };
    for (const { phase, percent, flexionLeft } of states) {
      if (phase !== 'swing') continue;
      if (flexionLeft === undefined) return { openBecause: `${demand.task.title} has no thigh motion` };
      if (!(flexionLeft <= worst.left)) worst = { left: flexionLeft, at: percent };
    }
    const speed = yieldSpeed(drive, short, stance.load);
    rows.push({
      short,
      own,
      states,
      yieldSpeed: speed,
      flexionLeft: worst.left as Rad,
      lostAt: worst.at,
      extensionTime: landing(input, demand, drive, short, bent)!.time,
      servesStance: speed <= SLOW_YIELD,
      servesSwing: worst.left <= LANDS_BENT,
    });
  }
  return rows;
}
