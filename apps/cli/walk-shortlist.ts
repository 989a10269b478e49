import { availableParallelism } from 'node:os';
import {
  type CandidateWalk,
  candidateStudy,
  Fault,
  openWalkReport,
  RANKED_BY,
  rankedShortlist,
  type ShortlistCandidate,
  type StudyInput,
  shortlistCandidates,
} from '@striderule/engine';
import { fingerprint, type ResultKey } from '@striderule/store';
import { heading } from './heading.ts';
import { keeper, storedResult } from './kept-result.ts';
import { longWork } from './long-work.ts';
import { numberOption, quantityOption } from './number-option.ts';
import { json, out, say, strong } from './print.ts';
import { shortlistText, shortlistVerdict } from './shortlist-table.ts';
import { oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';
import { walkMend } from './walk-mend.ts';
import { walkInPool } from './walk-pool.ts';
import { STEP, speedOf } from './walk-run.ts';

const SPEED = 1.1;
const STRIDES = 10;
const LEAST_STRIDES = 6;
const MOST_WORKERS = 64;

interface LegStudy {
  readonly leg: string;
  readonly input: StudyInput;
}

/**
 * `walk shortlist`: what the ratio scan lets through is walked on worker threads and ranked. Each walk is kept in `results/` as it is done;
 * Ctrl-C stops at once, and the same command goes on from there. Exit 1 where none was walked.
 */
export async function walkShortlist(values: Values): Promise<number> {
  const by = values.by === undefined ? 'hip' : oneOf('--by', values.by as string, RANKED_BY);
  const workers = wholeOption(values, 'workers', availableParallelism(), 1, MOST_WORKERS);
  const work = {
    choice: { speed: speedOf(values, SPEED) },
    length: {
      step: quantityOption(values, 'step', 'time') ?? STEP,
      strides: wholeOption(values, 'strides', STRIDES, LEAST_STRIDES, 10_000),
    },
  };
  const { folder, studies } = await readLegs(values);
  for (const { input } of studies) canWalk(input, work);
  const candidates = studies.flatMap(({ leg, input }) =>
    shortlistCandidates(input, leg, choiceOf(values, input)),
  );
  const tasks = candidates.map((candidate) => ({
    study: studies.findIndex(({ leg }) => leg === candidate.leg),
    candidate,
  }));
  const keys = keysOf(studies, tasks, work);
  const walks: (CandidateWalk | undefined)[] = [];
  for (const key of keys) walks.push((await storedResult(folder, key)) as CandidateWalk | undefined);
  const left = tasks.flatMap((task, k) => (walks[k] === undefined ? [{ ...task, k }] : []));
  if (left.length < tasks.length) say(`${tasks.length - left.length} of ${tasks.length} were walked before.`);

  const keep = keeper(folder, 'walk shortlist');
  let done = 0;
  try {
    await longWork('Walking', (signal, shown) => {
      const start = performance.now();
      return walkInPool({ studies: studies.map(({ input }) => input), ...work }, left, {
        workers,
        signal,
        done: (index, walk) => {
          const { k } = left[index]!;
          walks[k] = walk;
          done++;
          const rest = ((left.length - done) * (performance.now() - start)) / done / 1000;
          shown.to(done / left.length, `${done} of ${left.length}, ${timeText(rest)} left`);
          return keep(keys[k]!, walk);
        },
      });
    });
  } catch (error) {
    if (!(error instanceof Error && error.name === 'AbortError')) throw error;
    say(
      `Stopped. ${tasks.length - left.length + done} of ${tasks.length} are walked; the same command goes on from there.`,
    );
    return 130;
  }
  const rows = rankedShortlist(
    candidates.map((candidate, k) => ({ candidate, walk: walks[k]! })),
    by,
  );
  const { input } = studies[0]!;
  const demo = studies.some((study) => study.input.demo);
  if (values.json)
    out(
      json({
        study: input.name,
        demo,
        units: 'SI: J a stride, W; margins are limit ÷ need, "Infinity" where nothing is asked',
        ...work.choice,
        ...work.length,
        rankedBy: by,
        shortlist: rows,
      }),
    );
  else
    out(
      `${strong(shortlistVerdict(rows, by))}\n${heading({ ...input, demo })}\n\n${shortlistText(rows, by, work)}`,
    );
  return rows.some(({ walk }) => !('openBecause' in walk.prescribed)) ? 0 : 1;
}

async function readLegs(values: Values): Promise<{ folder: string; studies: readonly LegStudy[] }> {
  const names = values.legs === undefined ? [undefined] : words(values.legs as string);
  const { legs: _, ...rest } = values;
  const read: LegStudy[] = [];
  let folder = '';
  for (const name of names) {
    const opened = await readStudy(name === undefined ? rest : { ...rest, leg: name });
    folder = opened.folder;
    read.push({ leg: name ?? opened.input.leg.name, input: opened.input });
  }
  return { folder, studies: read };
}

const words = (text: string): string[] => [...new Set(text.split(',').map((word) => word.trim()))];

/** What may stand at the joints. */
function choiceOf(values: Values, { catalogue, leg }: StudyInput) {
  const margin = numberOption(values, 'margin');
  const known = new Set([
    ...Object.values(leg.joints).map(({ motor }) => motor.name),
    ...(catalogue?.motors ?? []).map(({ motor }) => motor.name),
  ]);
  const motors =
    values.motors === undefined
      ? undefined
      : values.motors === 'all'
        ? [...known]
        : words(values.motors as string).map((name) => oneOf('--motors', name, [...known]));
  return {
    ...(values.ratios !== undefined && { ratios: words(values.ratios as string).map(ratioOf) }),
    ...(motors !== undefined && { motors }),
    ...(margin !== undefined && { margin }),
  };
}

function ratioOf(text: string): number {
  const ratio = Number(text);
  if (text !== '' && Number.isFinite(ratio) && ratio >= 1) return ratio;
  throw new Fault({
    code: 'cli.ratios',
    what: `--ratios "${text}" is no ratio`,
    mend: 'Give motor speed ÷ joint speed, 1 or more, with commas, such as --ratios 18,22,26',
  });
}

function wholeOption(values: Values, name: string, otherwise: number, least: number, most: number): number {
  const given = numberOption(values, name);
  if (given === undefined) return otherwise;
  if (Number.isInteger(given) && given >= least && given <= most) return given;
  throw new Fault({
    code: 'cli.number',
    what: `--${name} is a whole number from ${least} to ${most}, not "${values[name]}"`,
    mend: `Leave it out for ${otherwise}`,
  });
}

interface Work {
  readonly choice: { readonly speed: number };
  readonly length: { readonly step: number; readonly strides: number };
}

/** What the files lack for any walk is said at once, not candidate by candidate. */
function canWalk(input: StudyInput, { choice, length }: Work): void {
  const walk = openWalkReport(input, choice, length);
  if (!('openBecause' in walk)) return;
  throw new Fault({
    code: 'walk.not-told',
    what: `Leg ${input.leg.name}: no walk at ${choice.speed} m/s: ${walk.openBecause}`,
    mend: walkMend(input),
  });
}

/** All that a walk reads, by name: margins are not among it, and are worked out anew each time. */
function keysOf(
  studies: readonly LegStudy[],
  tasks: readonly { readonly study: number; readonly candidate: ShortlistCandidate }[],
  work: Work,
): readonly ResultKey[] {
  const shared = studies.map(({ input }) => ({
    wearer: fingerprint(input.wearer),
    strides: fingerprint(input.strides),
    walk: fingerprint(work),
  }));
  return tasks.map(({ study, candidate }) => ({
    stage: 'walk-shortlist',
    inputs: { ...shared[study], leg: fingerprint(candidateStudy(studies[study]!.input, candidate).leg) },
  }));
}

const timeText = (seconds: number): string =>
  seconds < 100 ? `about ${Math.ceil(seconds)} s` : `about ${Math.ceil(seconds / 60)} min`;
