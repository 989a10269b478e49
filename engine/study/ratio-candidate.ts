import { breakawayTorque, dynamicBackDriveTorque } from '../drive/back-drive.ts';
import { BACK_DRIVE_SPEED } from '../drive/drive-figures.ts';
import { fullScan, fullScanRoom } from '../drive/full-scan.ts';
import { holdHeat, lossExponent } from '../drive/heat-load.ts';
import type { HeatPath } from '../drive/heat-nodes.ts';
import { largestCurrent } from '../drive/largest-current.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import { fluxFactor, torqueOf } from '../drive/motor-torque.ts';
import { peaksLoad } from '../drive/peaks-load.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import { scanCandidates, setCandidate } from '../drive/scan-candidates.ts';
import { frictionHeat } from '../drive/scan-gram.ts';
import { steadyHeat } from '../drive/steady-heat.ts';
import type { Requirement } from '../evidence/requirement.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { RatioTasks, ScanTask } from './ratio-tasks.ts';
import type { StudyInput } from './study-input.ts';

/** What a ratio may fail by. Torque is the motor's at the current allowed, so that current is no limit of its own. */
export type RatioLimit = 'torque' | 'speed' | 'gears' | 'back-drive';

/** Limit ÷ need of one task at one ratio; each absent where nothing is known of it. */
export interface TaskMargins {
  readonly id: string;
  readonly title: string;
  /** Motor torque at the current limit over the peak asked. */
  readonly torque?: number;
  /** On the voltage circle of the sagging bus; for published peaks and strides without moments, unloaded. */
  readonly speed?: number;
  /** Torque the gears may carry over the largest through them. */
  readonly gears?: number;
  /** (winding limit − air) ÷ (steady winding − air), were the task done for ever; 0 on runaway. */
  readonly winding?: number;
}

/** The least margin of a candidate: which limit, where, and limit ÷ need. */
export interface Tightest {
  readonly limit: RatioLimit;
  readonly margin: number;
  /** Id and title of the task; of a back-drive requirement the id twice. */
  readonly id: string;
  readonly at: string;
}

/** What a ratio costs, whether or not it carries the tasks. SI. */
export interface RatioCosts {
  readonly breakaway: number;
  /** At BACK_DRIVE_SPEED, steady. */
  readonly backDrive: number;
  readonly reflectedInertia: number;
  /** RMS motor torque, N·m, and mean copper loss, W, over the schedule's strides, by time; NaN where it has none. */
  readonly rmsTorque: number;
  readonly copper: number;
  /** Means at the motor's terminals over the same, W. */
  readonly drawn: number;
  readonly returned: number;
  /** Motor speed at the fastest motion of any task, rad/s. */
  readonly motorSpeed: number;
  /** That speed over the leg's own: mesh frequencies go with it. */
  readonly meshSpeed: number;
  /** Least bus voltage, V, of the tasks of which it is known; NaN where the bus cannot give the power. */
  readonly busVoltage: number;
}

/** One motor at one ratio. */
export interface RatioCandidate {
  readonly ratio: number;
  readonly tasks: readonly TaskMargins[];
  /** The least margin of each limit; absent where nothing is known of it. */
  readonly least: { readonly [limit in RatioLimit]?: Tightest };
  /** The least of them; undefined where nothing is asked of the joint. */
  readonly tightest: Tightest | undefined;
  /** Every task within torque, speed and gears, and every back-drive requirement met. Heat apart. */
  readonly carries: boolean;
  /** The hottest of the schedule's tasks were each done for ever; undefined where nothing is known of heat. */
  readonly winding?: { readonly margin: number; readonly id: string; readonly at: string };
  readonly costs: RatioCosts;
}

/** One motor in the place of the leg's, and everything that it is judged against. */
export interface RatioCase {
  readonly drive: JointDrive;
  readonly tasks: RatioTasks;
  readonly busVoltage: number;
  /** 0 where the leg file does not say: a stiff bus. */
  readonly busResistance: number;
  readonly heat: HeatPath | { readonly openBecause: string };
  readonly backDrive: readonly Requirement[];
  /** Of the leg as it is. */
  readonly ownRatio: number;
}

const BACK_DRIVE = ['breakawayTorque', 'dynamicBackdriveTorque'];

/** The requirements that bound the ratio from above: unpowered torque of this joint. */
export const backDriveRequirements = (input: StudyInput, joint: DrivenJoint): readonly Requirement[] =>
  input.requirements.filter(
    ({ metric, bound, joint: of }) =>
      BACK_DRIVE.includes(metric) &&
      bound.kind === 'at most' &&
      // without a joint it is of the only one there is
      (of ?? joint) === joint,
  );

/**
 * Judges one motor at these ratios with the full model of `fullScan`, all tasks at once. Gears are the leg file's at every ratio: their
 * efficiencies, inertias and friction stay.
 */
export function ratioCandidates(c: RatioCase, ratios: readonly number[]): RatioCandidate[] {
  const { tasks } = c;
  const { motor, transmission } = c.drive;
  const heated = 'openBecause' in c.heat ? undefined : c.heat;
  const flux = heated && fluxFactor(motor, heated.thermal.windingLimit);
  // hot magnets ask a saturating motor for more than their share: its copper loss is summed once more with weaker ones
  const weak = motor.saturationCurrent !== undefined && flux !== undefined && flux !== 1;
  const count = ratios.length;
  const candidates = scanCandidates(weak ? 2 * count : count);
  const supply = { ...c.drive, busVoltage: c.busVoltage, busResistance: c.busResistance };
  ratios.forEach((ratio, n) => {
    setCandidate(candidates, n, motor, { ...transmission, ratio }, supply);
    if (weak) {
      const hot = { ...motor, fluxLinkage: motor.fluxLinkage * flux };
      setCandidate(candidates, count + n, hot, { ...transmission, ratio }, supply);
    }
  });
  const size = tasks.strides.length;
  const scan = fullScanRoom(candidates.count, size);
  fullScan(tasks.samples, candidates, scan);
  const most = torqueOf(motor, largestCurrent(c.drive));
  const gearLimit = transmission.torqueLimit;

  return ratios.map((ratio, n) => {
    const t = { ...transmission, ratio };
    const drive = { ...c.drive, transmission: t };
    const margins: TaskMargins[] = [];
    const winding = (load: Parameters<typeof steadyHeat>[1]): { winding?: number } => {
      if (heated === undefined || Number.isNaN(load.copper * load.fluxExponent)) return {};
      const rise = steadyHeat(heated, load).winding - heated.ambient;
      return { winding: (heated.thermal.windingLimit - heated.ambient) / rise };
    };
    let time = 0;
    let square = 0;
    let copper = 0;
    let drawn = 0;
    let returned = 0;
    let busVoltage = Number.POSITIVE_INFINITY;
    let hottest: { margin: number; id: string; at: string } | undefined;
    const add = (task: ScanTask, m: TaskMargins): void => {
      margins.push(m);
      if (
        m.winding !== undefined &&
        task.duration !== undefined &&
        !(m.winding >= (hottest?.margin ?? Infinity))
      )
        hottest = { margin: m.winding, id: m.id, at: m.title };
    };
    tasks.strides.forEach((task, k) => {
      const at = n * size + k;
      const { id, title, known, gearTorque, duration } = task;
      if (known) {
        if (!(scan.busVoltage[at] >= busVoltage)) busVoltage = scan.busVoltage[at];
        if (duration !== undefined) {
          time += duration;
          square += duration * scan.rmsTorque[at] ** 2;
          copper += duration * scan.copper[at];
          drawn += duration * scan.drawn[at];
          returned += duration * scan.returned[at];
        }
      }
      const hot = weak ? scan.copper[(count + n) * size + k] : scan.copper[at];
      add(task, {
        id,
        title,
        ...(known && { torque: most / scan.peakTorque[at] }),
        speed: scan.speedMargin[at],
        ...(known && gearLimit !== undefined && { gears: gearLimit / gearTorque }),
        ...(known &&
          winding({
            copper: scan.copper[at],
            fluxExponent: lossExponent(motor, scan.copper[at], hot, flux ?? 1),
            friction: frictionHeat(tasks.gram, k, candidates, n, t),
            rotor: 'turning',
          })),
      });
    });
    for (const task of tasks.peaks) {
      const { id, title, moment, speed } = task;
      const even = (x: number) => ({ low: x, high: x });
      const load = peaksLoad(
        drive,
        {
          ...(moment !== undefined && task.kind === 'peaks' && { moment: even(moment) }),
          ...(speed !== undefined && { speed: even(speed) }),
        },
        c.busVoltage,
      );
      add(task, {
        id,
        title,
        ...(task.kind === 'standing' && {
          torque: (most * ratio * t.drivingEfficiency) / moment!,
          ...winding(holdHeat(drive, moment!)),
        }),
        ...(load.torqueMargin && { torque: load.torqueMargin.low }),
        ...(load.speedMargin && { speed: load.speedMargin.low }),
        ...(gearLimit !== undefined && moment !== undefined && { gears: gearLimit / moment }),
      });
    }
    const breakaway = breakawayTorque(motor, t);
    const backDrive = dynamicBackDriveTorque(motor, t, BACK_DRIVE_SPEED, 0);
    const least = leastOf(margins, c.backDrive, { breakaway, backDrive });
    const tightest = tightestOf(least);
    return {
      ratio,
      tasks: margins,
      least,
      tightest,
      carries: tightest !== undefined && tightest.margin >= 1,
      ...(hottest !== undefined && { winding: hottest }),
      costs: {
        breakaway,
        backDrive,
        reflectedInertia: reflectedInertia(motor, t),
        rmsTorque: Math.sqrt(square / time),
        copper: copper / time,
        drawn: drawn / time,
        returned: returned / time,
        motorSpeed: ratio * tasks.fastest,
        meshSpeed: ratio / c.ownRatio,
        busVoltage,
      },
    };
  });
}

/** The least margin of each limit; what is not known is not among them. */
function leastOf(
  tasks: readonly TaskMargins[],
  requirements: readonly Requirement[],
  { breakaway, backDrive }: { readonly breakaway: number; readonly backDrive: number },
): RatioCandidate['least'] {
  const least: { [limit in RatioLimit]?: Tightest } = {};
  const take = (limit: RatioLimit, margin: number | undefined, id: string, at: string): void => {
    if (margin !== undefined && !(margin >= (least[limit]?.margin ?? Number.POSITIVE_INFINITY)))
      least[limit] = { limit, margin, id, at };
  };
  for (const { id, title, torque, speed, gears } of tasks) {
    take('torque', torque, id, title);
    take('speed', speed, id, title);
    take('gears', gears, id, title);
  }
  for (const { id, metric, bound } of requirements)
    take('back-drive', bound.value / (metric === 'breakawayTorque' ? breakaway : backDrive), id, id);
  return least;
}

/** The least of all; where no task asks anything, a back-drive requirement alone makes none. */
function tightestOf(least: RatioCandidate['least']): Tightest | undefined {
  const { torque, speed, gears, 'back-drive': backDrive } = least;
  let tightest: Tightest | undefined;
  for (const each of [torque, speed, gears])
    if (each !== undefined && !(each.margin >= (tightest?.margin ?? Number.POSITIVE_INFINITY)))
      tightest = each;
  if (tightest === undefined) return undefined;
  return backDrive !== undefined && !(backDrive.margin >= tightest.margin) ? backDrive : tightest;
}
