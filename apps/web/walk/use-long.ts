import { useCallback, useEffect, useMemo, useSyncExternalStore } from 'react';
import type { LongAsk, LongParts } from './answer-long.ts';
import { askKey } from './ask-key.ts';
import { followLong, type LongState, longState, startLong, stopLong, stopOthers } from './long-work.ts';

export interface Long<K extends LongAsk['kind']> extends LongState<K> {
  readonly start: () => void;
  readonly cancel: () => void;
}

/** Long work about what is asked now: nothing until it is started, then for as long as the same is asked. */
export function useLong<K extends LongAsk['kind']>(
  ask: (LongAsk & { readonly kind: K }) | undefined,
  gather: (parts: readonly LongParts[K][], part: LongParts[K]) => readonly LongParts[K][],
): Long<K> {
  const key = useMemo(() => (ask === undefined ? undefined : askKey(ask)), [ask]);
  const kind = ask?.kind;
  useEffect(() => {
    if (kind !== undefined && key !== undefined) stopOthers(kind, key);
  }, [kind, key]);
  const state = useSyncExternalStore(followLong, () => longState(key)) as LongState<K>;
  const start = useCallback(() => {
    if (ask !== undefined) startLong(ask, gather);
  }, [ask, gather]);
  const cancel = useCallback(() => {
    if (key !== undefined) stopLong(key);
  }, [key]);
  return { ...state, start, cancel };
}
