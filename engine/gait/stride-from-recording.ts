import { Fault } from '../quantity/fault.ts';
import { type CutOffChoice, cutOffChoices, rangeOf } from './cut-off.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';
import { momentTimesVelocity, powerFinding } from './power-identity.ts';
import type { ChannelName, Recipe } from './recipe.ts';
import { columnName, JOINTS } from './recording-channels.ts';
import { type Finding, judged, type RecordingCheck } from './recording-check.ts';
import { type AveragedStrides, openIntake } from './recording-intake.ts';
import { signFinding } from './recording-signs.ts';
import { STRIDE_TIME, unitFinding } from './recording-units.ts';
import { harmonicsWithin, smoothPeriodic } from './smooth-periodic.ts';
import type { JointCurves, JointName, Stride, StrideCurve } from './stride.ts';

/** What an import gives: the stride as every stage reads it, and what was found on the way. */
export interface RecordedStride {
  readonly stride: Stride;
  readonly checks: readonly RecordingCheck[];
  /** How many strides were averaged, and how they differ. */
  readonly count: number;
  readonly strideTime: AveragedStrides['strideTime'];
  /** Sample deviation between strides at every half per cent, rad, N·m/kg, W/kg, body weights; NaN for a single stride. */
  readonly deviation: Readonly<Record<string, Float64Array>>;
  readonly harmonics: number;
  readonly cutOffs: readonly CutOffChoice[];
}

/** A recording in memory: rows of the columns that `recordingColumns` names, in that order. */
export interface RecordedSamples {
  readonly rows: readonly ArrayLike<number>[];
  /** Line of the first row in its file; 1 unless said. */
  readonly firstLine?: number;
}

/** A stride further from the mean than this, relative, is pointed out. Our choice. */
const ODD_STRIDE = 0.25;
/** How far the peak power may move from what the highest cut-off shown leaves, relative. Our choice. */
const PEAK_MOVED = 0.1;

/** The columns a recipe maps, in the order in which a row of RecordedSamples holds them. */
export const recordingColumns = (recipe: Recipe): readonly (string | number)[] => openIntake(recipe).columns;

/**
 * The laboratory's own strides as a Stride: resampled, averaged, smoothed by a Fourier series cut at the recipe's cut-off, checked.
 * Throws one Fault that carries every fault found.
 */
export function strideFromRecording(
  recording: RecordedSamples,
  recipe: Recipe,
  name: { readonly id: string; readonly title: string },
): RecordedStride {
  const intake = openIntake(recipe);
  recording.rows.forEach((row, i) => {
    intake.row(row, (recording.firstLine ?? 1) + i);
  });
  return strideFromAverage(intake.end(), recipe, name);
}

/** The last step of `strideFromRecording`, for callers that fed an intake row by row. */
export function strideFromAverage(
  averaged: AveragedStrides,
  recipe: Recipe,
  name: { readonly id: string; readonly title: string },
): RecordedStride {
  const { channels, mean, strideTime } = averaged;
  const raw: { [channel in ChannelName]?: Float64Array } = {};
  channels.forEach((channel, c) => {
    raw[channel.name] = mean[c];
  });
  const timeFaults = [strideTimeFinding(averaged, recipe)].filter((f) => f !== null);
  const harmonics = harmonicsWithin(recipe.cutOff, strideTime.mean);
  const most = Math.min(Math.floor((averaged.fewestRows - 2) / 2), STRIDE_SAMPLES / 2 - 1);
  const early = judged(timeFaults, recipe.accept);
  if (early.faults.length > 0) throw new Fault(early.faults);
  if (harmonics < 1 || harmonics > most) {
    throw new Fault({
      code: 'gait.recording-cut-off',
      what: `A cut-off of ${recipe.cutOff} Hz keeps ${harmonics} harmonics of a stride of ${strideTime.mean.toFixed(3)} s; this recording carries 1 to ${Math.floor(most)}`,
      mend: 'Correct `cutOff:` in the recipe',
      place: { path: 'cutOff' },
    });
  }
  const stance =
    typeof recipe.stance === 'number'
      ? recipe.stance
      : stanceByForce(
          raw['groundForce.vertical'] as Float64Array,
          recipe.stance.forceBelow,
          recipe.bodyMass as number,
        );
  const findings: Finding[] = [];
  const wrongUnit = new Set<string>();
  channels.forEach((channel, c) => {
    const unit = unitFinding(channel, mean[c], recipe.bodyMass);
    findings.push(unit);
    const accepted = recipe.accept.some(({ check }) => check === unit.id);
    if (unit.verdict === 'fault' && !accepted) wrongUnit.add(channel.name.split('.')[0]);
    const sign = signFinding(channel, mean[c], stance);
    if (sign !== null) findings.push(sign);
    findings.push(closingFinding(channel.name, channel.column, mean[c], recipe.largestGap));
  });
  const curves: { [channel in ChannelName]?: StrideCurve } = {};
  channels.forEach(({ name: channel, kind }, c) => {
    // a product of two series has twice their harmonics
    const kept = kind === 'power' ? Math.min(2 * harmonics, Math.floor(most)) : harmonics;
    curves[channel] = smoothPeriodic(mean[c], kept);
  });
  for (const joint of JOINTS) {
    const [angle, moment, power] = [
      curves[`${joint}.angle`],
      curves[`${joint}.moment`],
      raw[`${joint}.power`],
    ];
    if (angle === undefined || moment === undefined || power === undefined || wrongUnit.has(joint)) continue;
    const finding = powerFinding(
      joint,
      power,
      momentTimesVelocity(moment, angle, strideTime.mean),
      recipe.bodyMass,
    );
    const signFound = findings.some(
      (f) => f.verdict === 'fault' && f.id.startsWith('sign') && f.path?.startsWith(joint),
    );
    // a flipped column also turns the power: one fault for one cause
    if (!(signFound && finding.figure < 0)) findings.push(finding);
  }
  const known = Object.fromEntries(
    Object.entries(raw).filter(([channel]) => !channel.endsWith('power')),
  ) as Record<string, Float64Array>;
  const cutOffs = cutOffChoices(known, strideTime.mean, recipe.cutOff, Math.floor(most));
  findings.push(...cutOffFindings(cutOffs, recipe.cutOff));
  const { checks, faults } = judged(findings, recipe.accept);
  if (faults.length > 0) throw new Fault(faults);
  const all = [...early.checks, ...checks];
  return {
    stride: strideOf(
      name,
      recipe,
      curves,
      strideTime.mean,
      stance,
      caveatsOf(averaged, recipe, harmonics, all),
    ),
    checks: all,
    count: averaged.count,
    strideTime,
    deviation: Object.fromEntries(channels.map((channel, c) => [channel.name, averaged.deviation[c]])),
    harmonics,
    cutOffs,
  };
}

function strideTimeFinding({ strideTime, count }: AveragedStrides, recipe: Recipe): Finding | null {
  const { mean, least, leastStride, greatest, greatestStride } = strideTime;
  const base = { id: 'stride time', figure: mean, unit: 's', path: 'time' };
  if (!(mean >= STRIDE_TIME[0] && mean <= STRIDE_TIME[1])) {
    return {
      ...base,
      verdict: 'fault',
      what: `The mean stride takes ${Number(mean.toPrecision(3))} s, where people take ${STRIDE_TIME[0]} to ${STRIDE_TIME[1]} s`,
      mend:
        recipe.time === undefined
          ? 'Correct `strideTime:`'
          : 'Check whether the time column is in s or ms, and that a stride, not a step or a trial, is numbered',
    };
  }
  const odd = greatest > mean * (1 + ODD_STRIDE) ? [greatestStride, greatest] : [leastStride, least];
  if (count > 1 && Math.abs(odd[1] / mean - 1) > ODD_STRIDE) {
    return {
      ...base,
      verdict: 'warns',
      what: `Stride ${odd[0]} takes ${odd[1].toFixed(3)} s where the mean is ${mean.toFixed(3)} s`,
    };
  }
  return {
    ...base,
    verdict: 'holds',
    what: `${count} ${count === 1 ? 'stride' : 'strides'} of ${mean.toFixed(3)} s`,
  };
}

function closingFinding(
  name: ChannelName,
  column: string | number,
  mean: Float64Array,
  largest: number,
): Finding {
  const gap = (mean[mean.length - 1] - mean[0]) / rangeOf(mean);
  const what = `${columnName(column)} ends ${(100 * Math.abs(gap)).toFixed(1)} % of its range ${gap < 0 ? 'below' : 'above'} where it began`;
  const base = { id: `closes ${name}`, figure: Math.abs(gap), unit: '1', path: name };
  if (Math.abs(gap) <= largest) return { ...base, verdict: 'holds', what };
  return {
    ...base,
    verdict: 'fault',
    what: `${what}: the rows are not one whole stride, or the stride is not periodic`,
    mend: `Check where strides begin and end; for single steps raise \`largestGap:\` above ${(100 * largest).toFixed(0)} %`,
  };
}

function cutOffFindings(choices: readonly CutOffChoice[], chosen: number): Finding[] {
  const highest = choices[choices.length - 1];
  const here = choices.find(({ cutOff }) => cutOff === chosen) as CutOffChoice;
  return Object.keys(here.peakPower).map((joint): Finding => {
    const kept = here.peakPower[joint] / highest.peakPower[joint];
    const holds = Math.abs(kept - 1) <= PEAK_MOVED;
    return {
      id: `cut-off ${joint}`,
      figure: kept,
      unit: '1',
      verdict: holds ? 'holds' : 'warns',
      what: `A cut-off of ${chosen} Hz leaves ${(100 * kept).toFixed(0)} % of the ${joint}'s peak power at ${highest.cutOff} Hz${holds ? '' : kept < 1 ? ': it eats the peak' : ': it blurs moment and velocity into one another'}`,
    };
  });
}

/** Stance ends where the force falls below the bound for good, sought after the first fifth of the stride. */
function stanceByForce(vertical: Float64Array, forceBelow: number, mass: number): number {
  const bound = forceBelow / (mass * 9.80665);
  const last = vertical.length - 1;
  // before the next contact, which raises the force again at the very end
  let i = Math.round(0.95 * last);
  while (i > 0.2 * last && vertical[i] < bound) i--;
  if (i === Math.round(0.95 * last) || i <= 0.2 * last) {
    throw new Fault({
      code: 'gait.recording-toe-off',
      what: `The vertical force does not fall below ${forceBelow} N between 20 and 95 % of the stride`,
      mend: 'Correct the bound under `stance:`, or give stance as a share of the stride',
      place: { path: 'stance' },
    });
  }
  return (i + (vertical[i] - bound) / (vertical[i] - vertical[i + 1])) / last;
}

function caveatsOf(
  averaged: AveragedStrides,
  recipe: Recipe,
  harmonics: number,
  checks: readonly RecordingCheck[],
): string[] {
  return [
    ...(recipe.notice === undefined ? [] : [recipe.notice]),
    `Mean of ${averaged.count} recorded ${averaged.count === 1 ? 'stride' : 'strides'}; deviations between the strides of one recording are not those between people.`,
    `Smoothed by a Fourier series cut at ${recipe.cutOff} Hz, ${harmonics} harmonics; no phase shift.`,
    ...averaged.notes,
    ...checks.filter(({ verdict }) => verdict !== 'holds').map(({ text }) => text),
  ];
}

function strideOf(
  { id, title }: { readonly id: string; readonly title: string },
  recipe: Recipe,
  curves: { readonly [channel in ChannelName]?: StrideCurve },
  strideTime: number,
  stance: number,
  caveats: readonly string[],
): Stride {
  const joints: { [joint in JointName]?: JointCurves } = {};
  for (const joint of JOINTS) {
    const [angle, moment, power] = [
      curves[`${joint}.angle`],
      curves[`${joint}.moment`],
      curves[`${joint}.power`],
    ];
    if (angle === undefined) continue;
    joints[joint] = { angle, ...(moment && { moment }), ...(power && { power }) };
  }
  const demo = recipe.notice !== undefined && /^demo data/i.test(recipe.notice);
  const [thigh, vertical, foreAft] = [
    curves['thigh.angle'],
    curves['groundForce.vertical'],
    curves['groundForce.foreAft'],
  ];
  const { who = 'one person, recorded', count = 1, height } = recipe.person ?? {};
  return {
    id,
    title,
    activity: 'recorded',
    ...(recipe.speed !== undefined && { speed: recipe.speed }),
    ...(recipe.incline !== undefined && { incline: recipe.incline }),
    strideTime,
    stance,
    joints,
    ...(thigh && { thigh }),
    ...(vertical && foreAft && { groundForce: { vertical, foreAft } }),
    people: {
      count,
      ...(height !== undefined && { height }),
      ...(recipe.bodyMass !== undefined && { mass: recipe.bodyMass }),
      who,
    },
    origin: {
      citation: demo ? 'Invented for the demo study' : "The laboratory's own recording",
      licence: demo ? 'Apache-2.0' : "The laboratory's own",
      status: demo ? 'demo' : 'recorded',
    },
    caveats,
  };
}
