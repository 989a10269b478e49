import type { LedgerInput, LedgerRow, RequirementState, WalkEvidence } from '../evidence/ledger-row.ts';
import type { Requirement } from '../evidence/requirement.ts';
import { marginTo } from '../evidence/verdict.ts';
import type { LedgerWalked } from './ledger-walk.ts';
import type { StudyInput } from './study-input.ts';
import { isWalked, walkMetrics } from './walk-metrics.ts';
import { type LedgerWalk, ledgerWalkName, walksOf } from './walks-asked.ts';

/** What is kept of one thing that was walked. */
export interface KeptWalk {
  readonly walked: LedgerWalked;
  /** What has changed since, in words; left out: nothing, it is of the study as it stands. */
  readonly changed?: string;
}

/** By `ledgerWalkName`. */
export type KeptWalks = ReadonlyMap<string, KeptWalk>;

/** Why a line is open that walks would judge. */
export const NOT_WALKED = 'it is judged by a walk, and has not been walked';
const NONE: KeptWalks = new Map();

/** Worst over the speeds with one way of leading the thigh; or why there is none. */
type End = { readonly value: number; readonly walk: LedgerWalk } | { readonly openBecause: string };

function figureOf(
  name: string,
  walk: LedgerWalk,
  kept: KeptWalks,
): number | { readonly openBecause: string } {
  const where = ledgerWalkName(walk);
  const walked = kept.get(where)?.walked;
  if (walked === undefined) return { openBecause: NOT_WALKED };
  if ('openBecause' in walked) return { openBecause: `${where}: ${walked.openBecause}` };
  const figure = walked.figures[name];
  if (figure === undefined) return { openBecause: `${where}: ${walked.fell ?? NOT_WALKED}` };
  if (typeof figure === 'number') return figure;
  return { openBecause: `${where}: ${figure.openBecause}` };
}

function endOf(requirement: Requirement, walks: readonly LedgerWalk[], kept: KeptWalks): End {
  const { metric, joint, bound } = requirement;
  const name = walkMetrics[metric]!.only === 'leg' ? metric : `${metric}.${joint}`;
  let worst: Exclude<End, { readonly openBecause: string }> | undefined;
  for (const walk of walks) {
    const value = figureOf(name, walk, kept);
    if (typeof value !== 'number') return value;
    if (Number.isNaN(value)) return { openBecause: `${ledgerWalkName(walk)}: there is no number` };
    if (worst === undefined || marginTo(bound, value) < marginTo(bound, worst.value)) worst = { value, walk };
  }
  return worst!;
}

/**
 * A line that walks judge. Over the speeds the worst counts, with each way of leading the thigh; of the two ends of the bracket the worse one is
 * shown.
 *
 * met: both ends inside the bound. not met: both outside. open: one of each, since a wearer's hip lies between as far as a model knows, or an end
 * without a number. stale: any walk of it was of other inputs.
 */
function walkedRow(input: StudyInput, requirement: Requirement, kept: KeptWalks): LedgerRow {
  const metric = walkMetrics[requirement.metric]!;
  const { bound } = requirement;
  const walks = walksOf(requirement);
  const thighs = [...new Set(walks.map(({ thigh }) => thigh))];
  const ends = thighs.map((how) =>
    endOf(
      requirement,
      walks.filter(({ thigh }) => thigh === how),
      kept,
    ),
  );
  const told = ends.flatMap((end) => ('value' in end ? [end] : []));
  const without = ends.find((end) => 'openBecause' in end);
  const worst =
    without !== undefined
      ? undefined
      : told.reduce((a, b) => (marginTo(bound, b.value) < marginTo(bound, a.value) ? b : a));
  const outside = told.filter(({ value }) => marginTo(bound, value) < 0).length;
  const changed = [
    ...new Set(walks.flatMap((walk) => kept.get(ledgerWalkName(walk))?.changed?.split('; ') ?? [])),
  ].join('; ');
  const judged: RequirementState =
    worst === undefined || (outside > 0 && outside < told.length) ? 'open' : outside > 0 ? 'not met' : 'met';
  const openBecause =
    without !== undefined && 'openBecause' in without
      ? without.openBecause
      : judged === 'open'
        ? 'one end of the bracket is inside the bound, the other is not: the wearer’s own hip lies between, as far as a model knows'
        : undefined;
  const [prescribed, led] = ['prescribed', 'led'].map(
    (how) => told.find(({ walk }) => walk.thigh === how)?.value,
  );
  const walk: WalkEvidence = {
    ...(prescribed !== undefined && led !== undefined && { bracket: { prescribed, led } }),
    ...(changed !== '' && { changed }),
  };
  return {
    requirement,
    title: metric.title,
    unit: metric.unit,
    predicted: worst?.value ?? null,
    interval: null,
    walk,
    measured: null,
    shown: null,
    margin: worst === undefined ? null : marginTo(bound, worst.value),
    state: changed === '' ? judged : 'stale',
    ...(openBecause !== undefined && { openBecause }),
    ...(worst !== undefined && { at: ledgerWalkName(worst.walk) }),
    formula: metric.formula,
    chapter: metric.chapter,
    inputs: inputsOf(input, walks),
    cautions: metric.cautions,
  };
}

/** A walk reads all of leg and wearer: they are named whole. */
function inputsOf({ leg, wearer, controller }: StudyInput, walks: readonly LedgerWalk[]): LedgerInput[] {
  const each = <T>(of: (walk: LedgerWalk) => T): string => [...new Set(walks.map(of))].join(', ');
  const ownController = walks.some(({ control }) => control === 'study');
  return [
    { path: 'walk.speed, m/s', value: each(({ speed }) => speed), unit: '' },
    { path: 'walk.thigh', value: each(({ thigh }) => thigh), unit: '' },
    {
      path: 'walk.control',
      value: ownController ? (controller?.id ?? 'none') : 'paced by a clock, fitted to the stride',
      unit: '',
    },
    { path: 'leg', value: `${leg.name}, all of it`, unit: '' },
    { path: 'wearer', value: wearer.code, unit: '' },
  ];
}

/** The lines that walks judge set right by what was walked; every other line as it is. */
export const withWalks = (
  input: StudyInput,
  ledger: readonly LedgerRow[],
  kept: KeptWalks = NONE,
): readonly LedgerRow[] =>
  ledger.map((row) => (isWalked(row.requirement.metric) ? walkedRow(input, row.requirement, kept) : row));

/** A line that is judged by walks, before any. */
export const unwalkedRow = (input: StudyInput, requirement: Requirement): LedgerRow =>
  walkedRow(input, requirement, NONE);
