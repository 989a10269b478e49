import { availableParallelism } from 'node:os';
import { type DrawnBlock, Fault, type FaultData, type StudyInput, walkLevers } from '@striderule/engine';
import { inPool, type PieceAnswer, type PieceName, type PieceWork } from '@striderule/threads';
import type { WorkAsk, WorkParts } from '@striderule/wire';
import type { Work } from './jobs.ts';

/** How long work ended: after so many seconds, or because its files do not say enough. */
export type WorkedOut = { readonly took: number } | { readonly openBecause: string };

/** Draws between two words of progress. */
const BLOCK = 10;

type Ask<K extends WorkAsk['kind']> = Extract<WorkAsk, { readonly kind: K }>;

/** Work of one study on as many threads as the machine has cores. Its parts are told in the order of what was asked. */
export const longWork =
  (input: StudyInput, ask: WorkAsk): Work =>
  async (signal, onProgress, onPart): Promise<WorkedOut> => {
    const begun = performance.now();
    const telling: Telling = {
      signal,
      part: onPart,
      at: (done, total, label) => onProgress({ done, total, label }),
    };
    const because = await workOut(input, ask, telling);
    return because ?? { took: (performance.now() - begun) / 1000 };
  };

interface Telling {
  readonly signal: AbortSignal;
  readonly part: (part: WorkParts[WorkAsk['kind']]) => void;
  readonly at: (done: number, total: number, label: string) => void;
}

type Open = { readonly openBecause: string };

function workOut(input: StudyInput, ask: WorkAsk, telling: Telling): Promise<Open | undefined> {
  switch (ask.kind) {
    case 'faults':
      return faults(input, ask, telling);
    case 'cuts':
      return cuts(input, ask, telling);
    case 'price':
      return price(input, ask, telling);
    case 'tolerance':
      return tolerance(input, ask, telling);
  }
}

const percent = (share: number): string => `${Math.round(100 * share)} % of the stride`;

function faults(
  input: StudyInput,
  { thigh, step, speeds, places }: Ask<'faults'>,
  { signal, part, at }: Telling,
) {
  const tasks = speeds.flatMap((speed) => places.map((place) => ({ speed, place })));
  return inOrder({ open: 'faultPieces', held: { input, thigh, step }, tasks }, signal, (piece, k) => {
    part(piece);
    at(k + 1, tasks.length, `${piece.speed} m/s, at ${percent(piece.place)}`);
    return undefined;
  });
}

function cuts(input: StudyInput, { choice, step, places }: Ask<'cuts'>, { signal, part, at }: Telling) {
  return inOrder({ open: 'cutPieces', held: { input, choice, step }, tasks: places }, signal, (piece, k) => {
    if ('openBecause' in piece) return piece;
    part(piece);
    at(k + 1, places.length, `at ${percent(places[k]!)}`);
    return undefined;
  });
}

function price(input: StudyInput, { choice, step, strides }: Ask<'price'>, { signal, part, at }: Telling) {
  const tasks = walkLevers(input).map((_, k) => k);
  const held = { input, choice, step, strides };
  return inOrder({ open: 'pricePieces', held, tasks }, signal, (piece, k) => {
    if ('openBecause' in piece) return piece;
    part(piece);
    at(k + 1, tasks.length, piece.priced.price.lever.title);
    return undefined;
  });
}

function tolerance(
  input: StudyInput,
  { asked, draws, seed }: Ask<'tolerance'>,
  { signal, part, at }: Telling,
) {
  const tasks = Array.from({ length: Math.ceil(draws / BLOCK) }, (_, k) => ({
    from: k * BLOCK,
    count: Math.min(BLOCK, draws - k * BLOCK),
  }));
  const of: DrawnBlock[] = [];
  let done = 0;
  const work: PieceWork<'tolerancePieces'> = {
    ...{ open: 'tolerancePieces', held: { input, asked, seed }, tasks },
    last: () => ({ of }),
  };
  return inOrder(work, signal, (piece) => {
    if ('tolerance' in piece) part(piece.tolerance);
    else {
      of.push(piece.block);
      done += piece.block.count;
      at(done, draws, 'legs and people');
    }
    return undefined;
  });
}

/** Hears answers by the place of their tasks, whichever thread is first; the reason where one is that it cannot be worked out. */
async function inOrder<K extends PieceName>(
  work: PieceWork<K>,
  signal: AbortSignal,
  hear: (answer: PieceAnswer<K>, index: number) => Open | undefined,
): Promise<Open | undefined> {
  const waiting = new Map<number, PieceAnswer<K>>();
  let next = 0;
  try {
    await inPool(work, {
      workers: availableParallelism(),
      signal,
      done: (index, answer) => {
        waiting.set(index, answer);
        for (let now = waiting.get(next); now !== undefined; now = waiting.get(next)) {
          waiting.delete(next);
          const open = hear(now, next++);
          if (open !== undefined) throw new CannotBe(open);
        }
      },
      failed,
    });
  } catch (error) {
    if (error instanceof CannotBe) return error.open;
    throw error;
  }
  return undefined;
}

/** Ends a pool whose work cannot be. */
class CannotBe extends Error {
  readonly open: Open;
  constructor(open: Open) {
    super(open.openBecause);
    this.open = open;
  }
}

function failed(_: unknown, why: string, refused: readonly FaultData[]): Fault {
  if (refused.length > 0) return new Fault(refused);
  return new Fault({
    code: 'server.work-failed',
    what: `The work stopped: ${why}`,
    mend: 'Start it again; if it stops again, report it with what the terminal says',
  });
}
