import type {
  ProgressEvent,
  SentNumber,
  WorkAsk,
  WorkDesign,
  WorkEnd,
  WorkFound,
  WorkNews,
  WorkParts,
  WorkStarted,
} from '@striderule/wire';
import { post } from './post.ts';

// Work that takes longer than a person waits without a word. The server does it, and goes on while this page is another one, is read
// again or is closed: a page that asks the same finds it.

export type Kind = WorkAsk['kind'];

interface Asked {
  readonly design: WorkDesign;
  readonly ask: WorkAsk;
}

/** What is asked of which design. */
export interface LongAsk<K extends Kind> extends Asked {
  readonly ask: Extract<WorkAsk, { readonly kind: K }>;
}

/** Long work on its way, or what came of it. */
export interface LongState<K extends Kind = Kind> {
  readonly parts: readonly WorkParts[K][];
  /** While it is on its way. */
  readonly going?: ProgressEvent;
  /** How far it was when it ended before its time. */
  readonly reached?: ProgressEvent;
  /** s; left out: not yet, or never. */
  readonly took?: number;
  readonly refused?: Exclude<WorkEnd, { readonly kind: 'done' }> | { readonly kind: 'lost' };
}

interface Work {
  readonly kind: Kind;
  id: string | undefined;
  /** To be stopped, as soon as the server has a name for it. */
  stopped: boolean;
  state: LongState;
}

/** ms between two looks. A stream for each would use up the connections that a browser opens to one server. */
const EVERY = 200;
const NOTHING: LongState = { parts: [] };
const BEGINNING: ProgressEvent = { done: 0, total: 1, label: 'beginning' };

/** Work that this page knows of, by what was asked; two questions may have the same work, as a ratio before and after it is saved. */
const works = new Map<string, Work>();
/** What was asked last of each kind: work about anything else is of no use any more. */
const asked = new Map<Kind, string>();
const followers = new Set<() => void>();

export const longKey = ({ design, ask }: Asked): string => JSON.stringify([design, ask]);

export function followLong(follower: () => void): () => void {
  followers.add(follower);
  return () => followers.delete(follower);
}

export const longState = (key: string | undefined): LongState =>
  (key === undefined ? undefined : works.get(key)?.state) ?? NOTHING;

function put(work: Work, state: LongState): void {
  work.state = state;
  for (const follower of followers) follower();
}

/** Begins it, or goes along with what the server has of it; `anew`: not with what is done. */
export async function startLong(ask: Asked, anew: boolean): Promise<void> {
  const work: Work = { kind: ask.ask.kind, id: undefined, stopped: false, state: NOTHING };
  const before = longState(longKey(ask)).parts;
  works.set(longKey(ask), work);
  put(work, { parts: [], going: BEGINNING });
  const got = await post<WorkStarted>('/api/work', { ...ask, ...(anew && { anew }) });
  if (got.kind === 'done') await follow(work, got.answer.id);
  else if (got.kind === 'lost') put(work, { parts: before, refused: got });
  else put(work, { parts: [], refused: { kind: 'faults', faults: got.faults } });
}

/** Takes up what the server has of it, and stops what was asked before it. */
export async function findLong(ask: Asked): Promise<void> {
  const key = longKey(ask);
  const { kind } = ask.ask;
  asked.set(kind, key);
  if (!works.has(key)) {
    const got = await post<WorkFound>('/api/work/find', ask);
    if (asked.get(kind) !== key) return;
    const id = got.kind === 'done' ? got.answer.id : undefined;
    const same = id === undefined ? undefined : [...works.values()].find((work) => work.id === id);
    if (!works.has(key) && same !== undefined) {
      works.set(key, same);
      put(same, same.state);
    } else if (!works.has(key) && id !== undefined) {
      const work: Work = { kind, id, stopped: false, state: NOTHING };
      works.set(key, work);
      void follow(work, id);
    }
  }
  const mine = works.get(key);
  for (const work of works.values()) if (work.kind === kind && work !== mine) stop(work);
}

/** What was found so far stays. */
export function stopLong(key: string): void {
  const work = works.get(key);
  if (work !== undefined) stop(work);
}

function stop(work: Work): void {
  if (work.state.going === undefined || work.stopped) return;
  work.stopped = true;
  if (work.id !== undefined) stopAtServer(work.id);
}

/** Whether it is heard the next news tell. */
function stopAtServer(id: string): void {
  fetch(`/api/work/${id}`, { method: 'DELETE' }).catch(() => {});
}

async function follow(work: Work, id: string): Promise<void> {
  work.id = id;
  if (work.stopped) stopAtServer(id);
  let reached = BEGINNING;
  for (let parts: LongState['parts'] = []; ; ) {
    const news = await newsOf(id, parts.length);
    if (news === undefined) return put(work, { parts, reached, refused: { kind: 'lost' } });
    reached = news.progress ?? reached;
    if (news.parts.length > 0) parts = [...parts, ...news.parts];
    const { end } = news;
    if (end === undefined) put(work, { parts, going: reached });
    else if (end.kind === 'done') return put(work, { parts, took: end.took });
    else return put(work, { parts, reached, refused: end });
    await new Promise((resolve) => setTimeout(resolve, EVERY));
  }
}

/** Undefined where the server is gone, or was started anew and knows nothing of it. */
async function newsOf(id: string, from: number): Promise<WorkNews | undefined> {
  try {
    const answer = await fetch(`/api/work/${id}?from=${from}`, { headers: { accept: 'application/json' } });
    return answer.ok ? JSON.parse(await answer.text(), receivedNumber) : undefined;
  } catch {
    return undefined;
  }
}

/** For `JSON.parse`: the numbers that have no JSON. */
function receivedNumber(_: string, value: unknown): unknown {
  if (typeof value !== 'object' || value === null || !('number' in value)) return value;
  const { number, ...more } = value as SentNumber;
  return typeof number === 'string' && Object.keys(more).length === 0 ? Number(number) : value;
}
