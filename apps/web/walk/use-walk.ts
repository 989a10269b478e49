import type { FaultData } from '@striderule/engine';
import { useCallback, useEffect, useState } from 'react';
import type { WalkAnswer, WalkAsk } from './answer-walk.ts';
import { askWalk } from './ask-walk.ts';

export type Walked = Extract<WalkAnswer, { readonly kind: 'walked' }> & { readonly ask: WalkAsk };

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

/** Walks whenever something else is asked; undefined: nothing yet. */
export function useWalk(ask: WalkAsk | undefined): Walking {
  const [state, setState] = useState<State>({});
  const [turn, setTurn] = useState(0);
  const [off, setOff] = useState<WalkAsk>();
  // biome-ignore lint/correctness/useExhaustiveDependencies: a turn asks the same once more
  useEffect(() => {
    if (ask === undefined || off === ask) return;
    setState(({ walked, before }) => ({ ...kept(walked, before), done: 0 }));
    return askWalk(ask, (answer) =>
      setState(({ walked, before }) => {
        switch (answer.kind) {
          case 'stride':
            return { ...kept(walked, before), done: answer.done, of: answer.of };
          case 'walked':
            return kept({ ...answer, ask }, walked);
          default:
            return { ...kept(walked, before), refused: answer };
        }
      }),
    );
  }, [ask, turn, off]);
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

const kept = (walked: Walked | undefined, before: Walked | undefined): State => ({
  ...(walked !== undefined && { walked }),
  ...(before !== undefined && { before }),
});
