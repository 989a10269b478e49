import type { StudyInput } from '@striderule/engine';
import { useEffect, useMemo, useState } from 'react';
import { askKey } from './ask-key.ts';
import { askedNow, type NotedWalk, notedWalk } from './noted-walk.ts';
import type { Legs } from './use-legs.ts';
import { useWalk, type Walking } from './use-walk.ts';
import { wholeName } from './walk-figures.ts';
import { type KeptWalk, keepWalk } from './walk-store.ts';

/** A walk that was kept before the page was loaded anew, on its way back. */
export interface ComingWalk {
  readonly noted: NotedWalk;
  /**
   * reading: its leg is not read yet. lost: the server does not answer. gone: the study has no such leg file or scenario any more. changed: its
   * leg, or its study, is another now, and nothing is walked until `toAnew`. same, anew: it is walked again as it was, or with the leg as it is
   * now, and then kept.
   */
  readonly state: 'reading' | 'lost' | 'gone' | 'changed' | 'same' | 'anew';
  readonly walking: Walking;
  readonly toAnew: () => void;
}

/** Walks the kept walk again after a reload, where its leg is still the same; undefined where none is awaited. */
export function useNotedWalk(
  study: StudyInput,
  { legs, state }: Legs,
  kept: KeptWalk | undefined,
): ComingWalk | undefined {
  const noted = useMemo(() => (kept === undefined ? notedWalk(study) : undefined), [kept, study]);
  const [isAnew, setAnew] = useState(false);
  const leg = noted && legs.find(({ file }) => file === noted.file);
  const ask = useMemo(() => noted && leg && askedNow(noted, leg.input), [noted, leg]);
  const key = ask && askKey(ask);
  const isSame = key === noted?.key;
  const walking = useWalk(isSame || isAnew ? ask : undefined);
  const { walked } = walking;
  useEffect(() => {
    if (noted === undefined || walked === undefined || askKey(walked.ask) !== key) return;
    keepWalk({ walked, name: wholeName(walked), file: noted.file });
    setAnew(false);
  }, [noted, walked, key]);
  if (noted === undefined) return undefined;
  const missing = state === 'read' || leg !== undefined ? 'gone' : state;
  const there = isSame ? 'same' : isAnew ? 'anew' : 'changed';
  return { noted, state: ask === undefined ? missing : there, walking, toAnew: () => setAnew(true) };
}
