import { setImmediate } from 'node:timers/promises';
import { Fault, openWalkReport, parseQuantity, type StudyInput, type WalkReport } from '@striderule/engine';
import { heading } from './heading.ts';
import { longWork } from './long-work.ts';
import { quantityOption } from './number-option.ts';
import { json, out, strong } from './print.ts';
import type { Progress } from './progress.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';
import { walkMend } from './walk-mend.ts';
import { walkCsv, walkText, walkVerdict } from './walk-table.ts';

/** Slow, brisk and fast walking of most adults, m/s. Our choice. */
export const SPEEDS = [0.8, 1.1, 1.4];
const STRIDES = 20;
const MOST_STRIDES = 10_000;
/** s */
export const STEP = 2.5e-4;
export const THIGHS = ['prescribed', 'led'] as const;
const GROUNDS = ['treadmill', 'overground'] as const;
const CONTROLS = ['clock', 'study'] as const;

/** `walk run`: the leg walks with its wearer, and what that does to joints, ground, socket and hip. Exit 1 where it fell. */
export async function walkRun(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  const strides = stridesOf(values);
  const step = quantityOption(values, 'step', 'time') ?? STEP;
  const speeds = speedsOf(values, SPEEDS);
  const thighs = values.thigh === undefined ? THIGHS : [oneOf('--thigh', values.thigh as string, THIGHS)];
  const ground =
    values.ground === undefined ? 'treadmill' : oneOf('--ground', values.ground as string, GROUNDS);
  const control =
    values.control === undefined ? 'clock' : oneOf('--control', values.control as string, CONTROLS);
  const { input } = await readStudy(values);
  const asked = speeds.flatMap((speed) => thighs.map((thigh) => ({ speed, thigh, ground, control })));
  const reports = await longWork('Walking', async (signal, shown) => {
    const made: WalkReport[] = [];
    for (const [k, choice] of asked.entries())
      made.push(
        await walked(
          input,
          choice,
          { step, strides },
          { signal, shown, from: k / asked.length, share: 1 / asked.length },
        ),
      );
    return made;
  });
  if (values.json)
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: rad, m, s, N, N·m, J, W, K, A; engine signs; null where not known',
        walks: reports,
      }),
    );
  else if (values.csv) out(walkCsv(reports));
  else out(`${strong(walkVerdict(reports))}\n${heading(input)}\n\n${walkText(reports)}`);
  return reports.some(({ fell }) => fell !== undefined) ? 1 : 0;
}

export async function walked(
  input: StudyInput,
  choice: {
    readonly speed: number;
    readonly thigh: (typeof THIGHS)[number];
    readonly ground: (typeof GROUNDS)[number];
    readonly control?: (typeof CONTROLS)[number];
  },
  length: { readonly step: number; readonly strides: number },
  told: {
    readonly signal: AbortSignal;
    readonly shown: Progress;
    readonly from: number;
    readonly share: number;
  },
): Promise<WalkReport> {
  const walk = openWalkReport(input, choice, length);
  if ('openBecause' in walk) {
    throw new Fault({
      code: 'walk.not-told',
      what: `No walk at ${choice.speed} m/s: ${walk.openBecause}`,
      mend: walkMend(input),
    });
  }
  for (let k = 0; k < length.strides; k++) {
    told.signal.throwIfAborted();
    const stands = walk.stride();
    told.shown.to(
      told.from + (told.share * (k + 1)) / length.strides,
      `${choice.speed} m/s, thigh ${choice.thigh}, stride ${k + 1} of ${length.strides}`,
    );
    if (!stands) break;
    await setImmediate();
  }
  return walk.report();
}

export function stridesOf(values: Values, otherwise = STRIDES): number {
  if (values.strides === undefined) return otherwise;
  const strides = Number(values.strides);
  if (Number.isInteger(strides) && strides >= 1 && strides <= MOST_STRIDES) return strides;
  throw new Fault({
    code: 'cli.number',
    what: `--strides "${values.strides}" is no whole number from 1 to ${MOST_STRIDES}`,
    mend: 'Write it as in 20',
  });
}

/** `--speed 1.1m/s`, one alone. */
export function speedOf(values: Values, otherwise: number): number {
  return quantityOption(values, 'speed', 'speed') ?? otherwise;
}

/** `--speed 1.1m/s`, or several with commas. */
export function speedsOf(values: Values, otherwise: readonly number[]): readonly number[] {
  if (values.speed === undefined) return otherwise;
  return (values.speed as string).split(',').map((text) => {
    const parsed = parseQuantity(text.trim(), 'speed');
    if ('si' in parsed && parsed.si > 0) return parsed.si;
    throw new Fault({
      code: 'cli.quantity',
      what: `--speed "${text}": ${'si' in parsed ? 'not above zero' : parsed.what}`,
      mend: 'si' in parsed ? 'Give a positive value' : parsed.mend,
    });
  });
}
