import type { FaultData } from '@striderule/engine';
import { useCallback, useEffect, useMemo, useState } from 'react';
import type { WalkAsk } from './answer-walk.ts';
import { askKey } from './ask-key.ts';
import { askWalk } from './ask-walk.ts';
import { storedWalk, storeWalk, type Walked } from './walk-store.ts';

/** A walk on its way, or what came of it. */
export interface Walking {
  /** Strides done of the walk that is on its way; undefined where none is. */
  readonly done: number | undefined;
  /** How many there will be; undefined until the first is done. */
  readonly of: number | undefined;
  /** The last walk that came to an end, and the one before it: they stay while another is on its way. */
  readonly walked: Walked | undefined;
  readonly before: Walked | undefined;
  /** Why the asked walk was not walked. */
  readonly refused:
    | { readonly kind: 'open'; readonly because: string }
    | { readonly kind: 'faults'; readonly faults: readonly FaultData[] }
    | { readonly kind: 'cancelled' }
    | undefined;
  readonly cancel: () => void;
  readonly again: () => void;
}

interface State {
  readonly done?: number;
  readonly of?: number;
  readonly walked?: Walked;
  readonly before?: Walked;
  readonly refused?: Walking['refused'];
}

/** Walks whenever something else is asked, unless that walk is still there; undefined: nothing yet. */
export function useWalk(ask: WalkAsk | undefined): Walking {
  const key = useMemo(() => (ask === undefined ? undefined : askKey(ask)), [ask]);
  const [state, setState] = useState<State>(() => found(ask, key, {}) ?? {});
  const [turn, setTurn] = useState(0);
  const [off, setOff] = useState<WalkAsk>();
  // biome-ignore lint/correctness/useExhaustiveDependencies: a turn asks the same once more
  useEffect(() => {
    if (ask === undefined || key === undefined || off === ask) return;
    if (storedWalk(key) !== undefined) {
      setState((was) => found(ask, key, was) ?? was);
      return;
    }
    setState(({ walked, before }) => ({ ...kept(walked, before), done: 0 }));
    return askWalk(ask, (answer) => {
      if (answer.kind === 'walked') storeWalk(key, { ...answer, ask });
      setState(({ walked, before }) => {
        switch (answer.kind) {
          case 'stride':
            return { ...kept(walked, before), done: answer.done, of: answer.of };
          case 'walked':
            return kept({ ...answer, ask }, walked);
          default:
            return { ...kept(walked, before), refused: answer };
        }
      });
    });
  }, [ask, key, turn, off]);
  const cancel = useCallback(() => {
    setOff(ask);
    setState(({ walked, before }) => ({ ...kept(walked, before), refused: { kind: 'cancelled' } }));
  }, [ask]);
  const again = useCallback(() => {
    setOff(undefined);
    setTurn((was) => was + 1);
  }, []);
  return {
    done: state.done,
    of: state.of,
    walked: state.walked,
    before: state.before,
    refused: state.refused,
    cancel,
    again,
  };
}

/** The state in which a walk that is still there is shown; the walk before it is that which was shown, if that is another. */
function found(
  ask: WalkAsk | undefined,
  key: string | undefined,
  { walked, before }: State,
): State | undefined {
  const stored = key === undefined ? undefined : storedWalk(key);
  if (stored === undefined || ask === undefined) return undefined;
  if (walked !== undefined && askKey(walked.ask) === key) return kept({ ...walked, ask }, before);
  return kept({ ...stored, ask, stored: true }, walked);
}

const kept = (walked: Walked | undefined, before: Walked | undefined): State => ({
  ...(walked !== undefined && { walked }),
  ...(before !== undefined && { before }),
});
