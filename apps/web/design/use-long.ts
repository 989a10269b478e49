import { useCallback, useEffect, useMemo, useSyncExternalStore } from 'react';
import {
  findLong,
  followLong,
  type Kind,
  type LongAsk,
  type LongState,
  longKey,
  longState,
  startLong,
  stopLong,
} from './long-work.ts';

export interface Long<K extends Kind = Kind> extends LongState<K> {
  /** Anew, where it was done before. */
  readonly start: () => void;
  readonly cancel: () => void;
}

/** Long work about what is asked now: nothing until it is started, or the server has it from before; then for as long as the same is asked. */
export function useLong<K extends Kind>(ask: LongAsk<K> | undefined): Long<K> {
  const key = useMemo(() => (ask === undefined ? undefined : longKey(ask)), [ask]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the key says all of it
  useEffect(() => {
    if (ask !== undefined) void findLong(ask);
  }, [key]);
  const state = useSyncExternalStore(followLong, () => longState(key)) as LongState<K>;
  const start = useCallback(() => {
    if (ask !== undefined) void startLong(ask, longState(key).took !== undefined);
  }, [ask, key]);
  const cancel = useCallback(() => {
    if (key !== undefined) stopLong(key);
  }, [key]);
  return { ...state, start, cancel };
}
