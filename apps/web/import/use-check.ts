import type { ProgressEvent, RecordingChecked } from '@striderule/wire';
import { useCallback, useEffect, useState } from 'react';
import type { DroppedFile, Ended } from './ask-import.ts';

/** Where the check of a recipe stands. */
export type Checking =
  | { readonly kind: 'working'; readonly progress: ProgressEvent | undefined }
  | Ended<RecordingChecked>;

/** ms without a change until a recipe is checked: while somebody types it is not. */
const REST = 400;

/** Checks a file anew whenever its recipe rests; one that is overtaken is stopped. */
export function useCheck(file: DroppedFile, recipe: string): readonly [Checking, again: () => void] {
  const [checking, setChecking] = useState<Checking>({ kind: 'working', progress: undefined });
  const [turn, setTurn] = useState(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: `turn` asks for the same once more
  useEffect(() => {
    const stop = new AbortController();
    setChecking({ kind: 'working', progress: undefined });
    const timer = setTimeout(() => {
      const onProgress = (progress: ProgressEvent) => {
        if (!stop.signal.aborted) setChecking({ kind: 'working', progress });
      };
      file.check(recipe, { signal: stop.signal, onProgress }).then((ended) => {
        if (!stop.signal.aborted) setChecking(ended);
      });
    }, REST);
    return () => {
      clearTimeout(timer);
      stop.abort();
    };
  }, [file, recipe, turn]);
  return [checking, useCallback(() => setTurn((was) => was + 1), [])];
}
