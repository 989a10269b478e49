import type { StudyInput } from '@striderule/engine';
import type { WalkAnswer, WalkAsk } from './answer-walk.ts';
import { askKey } from './ask-key.ts';
import { noteWalk } from './noted-walk.ts';
import type { WalkingLegFile } from './use-legs.ts';

/** A walk that came to an end, and of what. */
export type Walked = Extract<WalkAnswer, { readonly kind: 'walked' }> & {
  readonly ask: WalkAsk;
  /** It was walked before in this session. */
  readonly stored?: true;
};

// Walks of this session: the last ones, so that going back to one is not walking it again, and the one that is kept to compare with.

/** As many, and as many bytes of their logs. Our choice: twenty strides are some 11 MB. */
const MOST = { walks: 10, bytes: 128e6 };

/** By what was asked, that which was used last at the end. */
const walks = new Map<string, Walked>();

/** Of a log the whole of its room, whether it was filled or not. */
const bytesOf = ({ record: { log, way } }: Walked): number =>
  log.table.buffer.byteLength + (way?.byteLength ?? 0);

/** The walk that was asked for, if it is still there. */
export function storedWalk(key: string): Walked | undefined {
  const found = walks.get(key);
  if (found === undefined) return undefined;
  walks.delete(key);
  walks.set(key, found);
  return found;
}

/** Those that were not used for longest make room. */
export function storeWalk(key: string, walked: Walked, most: typeof MOST = MOST): void {
  walks.delete(key);
  walks.set(key, walked);
  let bytes = 0;
  for (const each of walks.values()) bytes += bytesOf(each);
  for (const [old, each] of walks) {
    if (old === key || (walks.size <= most.walks && bytes <= most.bytes)) return;
    walks.delete(old);
    bytes -= bytesOf(each);
  }
}

/** A walk that is kept to compare with until it is removed. */
export interface KeptWalk {
  readonly walked: Walked;
  /** What it is called beside others. */
  readonly name: string;
  /** Of the leg file that walked; left out: the study's own leg. */
  readonly file: string | undefined;
  readonly key: string;
  /** Whether it is walked again when the page is loaded anew. */
  readonly noted: boolean;
}

let kept: KeptWalk | undefined;
const followers = new Set<() => void>();

export const keptWalk = (): KeptWalk | undefined => kept;

export function keepWalk({ walked, name, file }: Omit<KeptWalk, 'key' | 'noted'>): void {
  const { input, ...asked } = walked.ask;
  const key = askKey(walked.ask);
  const noted = noteWalk(input, { name, ...(file !== undefined && { file }), asked, key });
  kept = { walked, name, file, key, noted };
  for (const follower of followers) follower();
}

/** None is kept any more. */
export function removeKeptWalk(study: StudyInput): void {
  noteWalk(study, undefined);
  kept = undefined;
  for (const follower of followers) follower();
}

export function followKeptWalk(follower: () => void): () => void {
  followers.add(follower);
  return () => followers.delete(follower);
}

/** Whether the leg, or what else of the study it walked with, is another now; a file that is no longer there is. */
export function isStale({ walked: { ask }, file, key }: KeptWalk, legs: readonly WalkingLegFile[]): boolean {
  const now = legs.find((leg) => leg.file === file);
  return now === undefined || askKey({ ...ask, input: now.input }) !== key;
}
