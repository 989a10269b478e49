import { type DrivenJoint, type Gains, type StudyInput, statedGains } from '@striderule/engine';
import { useCallback, useEffect, useMemo, useState } from 'react';
import {
  gainsNow,
  type History,
  NO_STEPS,
  ratioNow,
  readHistory,
  redoable,
  redone,
  type Step,
  stepped,
  undoable,
  undone,
} from './change-history.ts';
import { onGainScales } from './gain-reach.ts';
import { withRatio } from './with-ratio.ts';

export const DRIVEN: readonly DrivenJoint[] = ['knee', 'ankle'];

/** One ratio that differs from the leg file. */
export interface RatioChange {
  readonly joint: DrivenJoint;
  readonly saved: number;
  readonly now: number;
}

/** The design as it stands on the page, and what differs from the file. */
export interface Changes {
  /** The study with the ratios of the page. */
  readonly draft: StudyInput;
  readonly changes: readonly RatioChange[];
  readonly set: (joint: DrivenJoint, ratio: number) => void;
  /** Stiffness and damping asked of a joint. No file holds them. */
  readonly gains: (joint: DrivenJoint) => Gains;
  readonly setGains: (joint: DrivenJoint, gains: Gains) => void;
  readonly undo: () => void;
  readonly redo: () => void;
  readonly canUndo: Step | undefined;
  readonly canRedo: Step | undefined;
}

/** Kept for this browser tab, by study and leg: a reload loses nothing that was typed. */
const keyOf = ({ name, leg }: StudyInput): string =>
  `striderule.changes ${name} / ${leg.name} ${leg.version}`;

function kept(input: StudyInput): History {
  try {
    return readHistory(sessionStorage.getItem(keyOf(input)) ?? '') ?? NO_STEPS;
  } catch {
    return NO_STEPS;
  }
}

const ratioOf = (input: StudyInput, joint: DrivenJoint): number | undefined =>
  input.leg.joints[joint]?.transmission.ratio;

export function useChanges(saved: StudyInput): Changes {
  const [history, setHistory] = useState(() => kept(saved));
  useEffect(() => {
    try {
      sessionStorage.setItem(keyOf(saved), JSON.stringify(history));
    } catch {
      // storage refused: holds until the page is closed
    }
  }, [saved, history]);
  const changes = useMemo(
    () =>
      DRIVEN.flatMap((joint): RatioChange[] => {
        const there = ratioOf(saved, joint);
        if (there === undefined) return [];
        const now = ratioNow(history, joint, there);
        return now === there ? [] : [{ joint, saved: there, now }];
      }),
    [saved, history],
  );
  const draft = useMemo(
    () => changes.reduce((input, { joint, now }) => withRatio(input, joint, now), saved),
    [saved, changes],
  );
  const set = useCallback(
    (joint: DrivenJoint, ratio: number) =>
      setHistory((was) => {
        const there = ratioOf(saved, joint);
        if (there === undefined) return was;
        return stepped(was, { what: 'ratio', joint, from: ratioNow(was, joint, there), to: ratio });
      }),
    [saved],
  );
  const gains = useCallback(
    (joint: DrivenJoint) => gainsNow(history, joint, onGainScales(statedGains(saved))),
    [saved, history],
  );
  const setGains = useCallback(
    (joint: DrivenJoint, to: Gains) =>
      setHistory((was) => {
        const from = gainsNow(was, joint, onGainScales(statedGains(saved)));
        return stepped(was, { what: 'gains', joint, from, to });
      }),
    [saved],
  );
  const undo = useCallback(() => setHistory(undone), []);
  const redo = useCallback(() => setHistory(redone), []);
  return {
    ...{ draft, changes, set, gains, setGains, undo, redo },
    canUndo: undoable(history),
    canRedo: redoable(history),
  };
}
