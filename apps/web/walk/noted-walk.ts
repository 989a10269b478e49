import type { StudyInput } from '@striderule/engine';
import type { WalkAsk } from './answer-walk.ts';

// What a kept walk was, noted for this browser tab, so that it is walked again when the page is loaded anew. Not its log: the same question
// about the same study gives the same walk.

export interface NotedWalk {
  /** What it is called beside others. */
  readonly name: string;
  /** Of the leg file that walked; left out: the study's own leg. */
  readonly file?: string;
  readonly asked: Omit<WalkAsk, 'input'>;
  /** The question with the study that it was asked about, by `askKey`. */
  readonly key: string;
}

const placeOf = (study: string): string => `striderule.kept-walk ${study}`;

export function notedWalk({ name }: StudyInput): NotedWalk | undefined {
  try {
    const noted: unknown = JSON.parse(sessionStorage.getItem(placeOf(name)) ?? 'null');
    return noted === null || typeof noted !== 'object' || !('asked' in noted)
      ? undefined
      : (noted as NotedWalk);
  } catch {
    return undefined;
  }
}

/** False where this browser stores nothing, or not as much: a reload then forgets it. */
export function noteWalk({ name }: StudyInput, walk: NotedWalk | undefined): boolean {
  try {
    if (walk === undefined) sessionStorage.removeItem(placeOf(name));
    else sessionStorage.setItem(placeOf(name), JSON.stringify(walk));
    return true;
  } catch {
    return false;
  }
}

/** The same question about a study as it is now; undefined where that has no such scenario any more. */
export function askedNow({ asked }: NotedWalk, input: StudyInput): WalkAsk | undefined {
  const { instead } = asked;
  if (instead?.kind !== 'scenario') return { input, ...asked };
  const scenario = input.scenarios?.find(({ id }) => id === instead.scenario.id);
  return scenario && { input, ...asked, instead: { kind: 'scenario', scenario } };
}
