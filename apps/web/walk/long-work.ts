import type { FaultData } from '@striderule/engine';
import { answerLong, type LongAnswer, type LongAsk, type LongParts } from './answer-long.ts';
import { askKey } from './ask-key.ts';

/** A script of the build beside the page's own: see vite.config.ts. */
const WORKER = '/assets/long-worker.js';

type Kind = LongAsk['kind'];

/** Long work on its way, or what came of it. */
export interface LongState<K extends Kind = Kind> {
  readonly parts: readonly LongParts[K][];
  /** While it is on its way. */
  readonly going?: { readonly done: number; readonly of: number; readonly said: string };
  /** s; left out: not yet, or never. */
  readonly took?: number;
  readonly refused?:
    | { readonly kind: 'open'; readonly because: string }
    | { readonly kind: 'faults'; readonly faults: readonly FaultData[] }
    | { readonly kind: 'cancelled' };
}

interface Work {
  readonly kind: Kind;
  state: LongState;
  stop: (() => void) | undefined;
}

/**
 * Work that has been asked for, by what was asked: it goes on while another page is open, and what it found stays for as long as the tab
 * does. Of one kind no more than one is on its way.
 */
const works = new Map<string, Work>();
const followers = new Set<() => void>();

export function followLong(follower: () => void): () => void {
  followers.add(follower);
  return () => followers.delete(follower);
}

const NOTHING: LongState = { parts: [] };

export const longState = (key: string | undefined): LongState =>
  (key === undefined ? undefined : works.get(key)?.state) ?? NOTHING;

function put(work: Work, state: LongState): void {
  work.state = state;
  for (const follower of followers) follower();
}

/** Begins it anew; `gather` adds a part to those before. */
export function startLong<K extends Kind>(
  ask: LongAsk & { readonly kind: K },
  gather: (parts: readonly LongParts[K][], part: LongParts[K]) => readonly LongParts[K][],
): void {
  stopOthers(ask.kind, '');
  const work: Work = { kind: ask.kind, state: NOTHING, stop: undefined };
  works.set(askKey(ask), work);
  put(work, { parts: [], going: { done: 0, of: 1, said: 'beginning' } });
  const hear = (answer: LongAnswer): void => {
    const { parts } = work.state;
    switch (answer.kind) {
      case 'part': {
        const { part, done, of, said } = answer;
        const all = gather(parts as readonly LongParts[K][], part as LongParts[K]);
        put(work, { parts: all, going: { done, of, said } });
        return;
      }
      case 'end':
        work.stop = undefined;
        put(work, { parts, took: answer.took });
        return;
      default:
        work.stop = undefined;
        put(work, { parts: [], refused: answer });
    }
  };
  const worker = new Worker(WORKER, { type: 'module' });
  worker.addEventListener('message', ({ data }: MessageEvent<LongAnswer>) => {
    if (data.kind !== 'part') worker.terminate();
    hear(data);
  });
  // where the browser will not run a worker, the page works it out itself
  worker.addEventListener('error', () => {
    worker.terminate();
    answerLong(ask, hear);
  });
  worker.postMessage(ask);
  work.stop = () => worker.terminate();
}

/** What was found so far stays. */
export function stopLong(key: string): void {
  const work = works.get(key);
  if (work?.stop === undefined) return;
  work.stop();
  work.stop = undefined;
  put(work, { parts: work.state.parts, refused: { kind: 'cancelled' } });
}

/** Work of this kind about anything else is of no use any more. */
export function stopOthers(kind: Kind, key: string): void {
  for (const [other, work] of works)
    if (work.kind === kind && other !== key && work.stop !== undefined) stopLong(other);
}
