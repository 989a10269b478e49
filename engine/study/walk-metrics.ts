import type { DrivenJoint, Stride } from '../gait/stride.ts';
import type { FaultTrial } from '../walk/fault-trial.ts';
import { forcePeak } from './force-peak.ts';
import type { CatalogueEntry } from './metric.ts';
import type { FaultRow } from './walk-faults.ts';
import type { PowerCut } from './walk-power-cut.ts';
import type { WalkReport, WalkSteady } from './walk-report.ts';

type Open = { readonly openBecause: string };
type Figure = number | Open;

/** A walk with the stride that it is walked after. */
export interface WalkedReport {
  readonly report: WalkReport;
  readonly stride: Stride;
}

/** Power lost at several places of a stride of `strideTime` s. */
export interface WalkedCuts {
  readonly cuts: readonly PowerCut[];
  readonly strideTime: number;
}

/** One entry of the catalogue that only a walk can tell, and how it is read from one. */
export type WalkMetric = CatalogueEntry &
  (
    | { readonly by: 'walk'; readonly of: (walk: WalkedReport, joint: DrivenJoint) => Figure }
    | { readonly by: 'power cut'; readonly of: (cuts: WalkedCuts) => Figure }
    | { readonly by: 'fault map'; readonly of: (rows: readonly FaultRow[]) => Figure }
  );

const CHAPTER = 'walk.md#in-the-ledger';
const CAUTION =
  'A walk in a model, the thigh’s motion given and a weak guide at the hip: it frees no leg for a person. Tethered bench with an emergency stop first, then overhead harness; the ethics board, a licensed prosthetist, standards and local codes decide.';

const entry = { only: 'leg', chapter: CHAPTER, cautions: [CAUTION] } as const;
const pure = { kind: 'pure number', unit: '1' } as const;

/** Mean over the strides from the third on. */
const steady = (report: WalkReport, of: (steady: WalkSteady) => number): Figure =>
  report.steady === undefined ? { openBecause: 'it is shorter than three strides' } : of(report.steady);

const mean =
  (of: (steady: WalkSteady, report: WalkReport, stride: Stride) => number) =>
  ({ report, stride }: WalkedReport): Figure =>
    steady(report, (means) => of(means, report, stride));

/** Share of all trials that ended so. */
const share =
  (outcome: FaultTrial['outcome']) =>
  (rows: readonly FaultRow[]): Figure => {
    const lacks = rows.flatMap(({ title, openBecause }) =>
      openBecause === undefined ? [] : [`${title}: ${openBecause}`],
    );
    if (lacks.length > 0) return { openBecause: `faults cannot be told: ${lacks.join('; ')}` };
    const trials = rows.flatMap((row) => row.trials);
    return trials.filter((trial) => trial.outcome === outcome).length / trials.length;
  };

/** Share of a stride after which the other foot is down: the reference’s own, half a stride away. */
const OTHER_FOOT = 0.5;

/** Every metric that a requirement may name and only a walk can tell. */
export const walkMetrics: Readonly<Record<string, WalkMetric>> = {
  walkedStrides: {
    ...entry,
    ...pure,
    title: 'Strides walked without a fall',
    formula: 'whole strides up to the fall, or all that were asked',
    by: 'walk',
    of: ({ report: { fell, strides, strideTime, asked } }) =>
      fell === undefined ? asked : Math.min(strides.length, Math.floor(fell.time / strideTime)),
  },
  guideForce: {
    ...entry,
    ...pure,
    title: 'What the guide carries of the weight',
    formula: '√(∫F_guide² dt/T)/(m·g)',
    by: 'walk',
    of: mean(({ guide }, { weight }) => guide / weight),
  },
  groundForceError: {
    ...entry,
    ...pure,
    title: 'Vertical force’s peak, off the stride’s own',
    formula: '|max F_z/(m·g) − max F_z,own|, body weights',
    by: 'walk',
    of: mean(({ up }, { weight }, stride) => Math.abs(up / weight - forcePeak(stride))),
  },
  landingForce: {
    ...entry,
    ...pure,
    title: 'Vertical force within 50 ms of contact',
    formula: 'max F_z(t ≤ 50 ms)/(m·g), body weights',
    by: 'walk',
    of: mean(({ impact }, { weight }) => impact / weight),
  },
  swingFlexion: {
    ...entry,
    title: 'Knee flexion in swing, walked',
    kind: 'angle',
    unit: 'rad',
    formula: 'max θ_knee',
    by: 'walk',
    of: mean(({ kneeFlexion }) => kneeFlexion),
  },
  trackingError: {
    title: 'Angle off the stride’s own, walked',
    kind: 'angle',
    unit: 'rad',
    formula: '√(∫(θ − θ_own)² dt/T)',
    chapter: CHAPTER,
    cautions: [CAUTION],
    by: 'walk',
    of: ({ report }, joint) =>
      steady(report, ({ kneeError, ankleError }) => (joint === 'knee' ? kneeError : ankleError)),
  },
  forefootClearance: {
    ...entry,
    title: 'Forefoot over the ground in mid-swing, walked',
    kind: 'length',
    unit: 'm',
    formula: 'min over the strides of min z_forefoot, middle half of swing',
    by: 'walk',
    of: ({ report }) => steady(report, ({ leastClearance }) => leastClearance),
  },
  ankleWork: {
    ...entry,
    title: 'Positive ankle work a stride, walked',
    kind: 'energy per mass',
    unit: 'J/kg',
    formula: '∫max(0, τ_a·θ̇_a) dt/m',
    by: 'walk',
    of: mean(({ anklePositiveWork }, { mass }) => anklePositiveWork / mass),
  },
  pushOffShare: {
    ...entry,
    ...pure,
    title: 'Push-off against its schedule',
    formula:
      '∫τ_a·θ̇_a dt from greatest dorsiflexion to the end of stance ÷ the same of the schedule on the stride itself',
    by: 'walk',
    of: mean(({ pushOff, scheduledPushOff }) => pushOff / scheduledPushOff),
  },
  earlyExits: {
    ...entry,
    ...pure,
    title: 'Strides whose stance ends early',
    formula: 'strides with a phase below 95 % at the end of stance ÷ strides',
    by: 'walk',
    of: mean(({ earlyExits, count }) => earlyExits / count),
  },
  hipWork: {
    ...entry,
    title: 'Positive hip work a stride, walked',
    kind: 'energy per mass',
    unit: 'J/kg',
    formula: '∫max(0, τ_h·θ̇_thigh) dt/m',
    by: 'walk',
    of: mean(({ hipPositiveWork }, { mass }) => hipPositiveWork / mass),
  },
  hipPullOff: {
    ...entry,
    title: 'Pull-off power of the hip, walked',
    kind: 'power per mass',
    unit: 'W/kg',
    formula: 'max τ_h·θ̇_thigh around toe-off/m',
    by: 'walk',
    of: mean(({ pullOff }, { mass }) => pullOff / mass),
  },
  socketMoment: {
    ...entry,
    title: 'Moment at the end of the socket, walked',
    kind: 'torque per mass',
    unit: 'N·m/kg',
    formula: 'max |M_socket|/m',
    by: 'walk',
    of: mean(({ socketMoment }, { mass }) => socketMoment / mass),
  },
  cellEnergy: {
    ...entry,
    title: 'Energy out of the cells a stride, walked',
    kind: 'energy',
    unit: 'J',
    formula: '∫I_bus·E dt, what is returned taken off',
    by: 'walk',
    of: mean(({ cells }) => cells),
  },
  energyResidual: {
    ...entry,
    ...pure,
    title: 'Energy missed ÷ work moved',
    formula: 'max |E − E_0 − Σ∫P dt|/Σ∫|P| dt',
    by: 'walk',
    of: ({ report }) => report.audit.share,
  },
  faultTime: {
    ...entry,
    ...pure,
    title: 'Time in which the controller tells a fault',
    formula: 'periods with a fault ÷ periods',
    by: 'walk',
    of: ({ report }) => report.faultShare,
  },
  powerCutTime: {
    ...entry,
    title: 'Power cut in stance: time to 60° of the knee',
    kind: 'time',
    unit: 's',
    formula: 'min over cuts at 0 … 45 % of min(t(θ_knee = 60°), t_fall, T)',
    by: 'power cut',
    of: ({ cuts, strideTime }) => {
      let least = strideTime;
      for (const { place, toSixty, fell } of cuts) {
        if (place >= OTHER_FOOT) continue;
        if (toSixty < least) least = toSixty;
        if (fell !== undefined && fell.after < least) least = fell.after;
      }
      return least;
    },
  },
  powerCutLanding: {
    ...entry,
    title: 'Power cut in swing: knee bent more at contact',
    kind: 'angle',
    unit: 'rad',
    formula: 'max over cuts in swing of θ_knee(contact) − θ_knee,powered(contact)',
    by: 'power cut',
    of: ({ cuts }) => {
      let most = Number.NEGATIVE_INFINITY;
      for (const { place, lands, poweredLands } of cuts) {
        if (lands === undefined || poweredLands === undefined) continue;
        const more = lands - poweredLands;
        if (Number.isNaN(more))
          return {
            openBecause: `cut at ${Math.round(100 * place)} % of the stride, the foot does not come down within the next one`,
          };
        most = Math.max(most, more);
      }
      return most === Number.NEGATIVE_INFINITY ? { openBecause: 'no cut fell into swing' } : most;
    },
  },
  faultsSurvived: {
    ...entry,
    ...pure,
    title: 'Faults that are walked through',
    formula: 'trials survived ÷ trials, every fault × every tenth of the stride',
    by: 'fault map',
    of: share('survived'),
  },
  faultsFallen: {
    ...entry,
    ...pure,
    title: 'Faults on which the leg falls',
    formula: 'trials fallen ÷ trials, every fault × every tenth of the stride',
    by: 'fault map',
    of: share('fell'),
  },
};

/** Whether it is a walk that judges this metric. */
export const isWalked = (name: string): boolean => Object.hasOwn(walkMetrics, name);
