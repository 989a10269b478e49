import {
  changedStudy,
  type DrivenJoint,
  type Gains,
  type StudyChange,
  type StudyInput,
  statedGains,
} from '@striderule/engine';
import { useCallback, useEffect, useMemo, useState } from 'react';
import type { Metrics } from '../read-study.ts';
import { askedOf, withAsked } from './asked.ts';
import { onGainScales } from './gain-reach.ts';
import {
  type Asked,
  askedNow,
  gainsNow,
  type History,
  NO_STEPS,
  ratioNow,
  readHistory,
  redoable,
  redone,
  type Step,
  sameAsked,
  stepped,
  undoable,
  undone,
} from './history.ts';

export const DRIVEN: readonly DrivenJoint[] = ['knee', 'ankle'];

/** One ratio that differs from the leg file. */
export interface RatioChange {
  readonly joint: DrivenJoint;
  readonly saved: number;
  readonly now: number;
}

/** One requirement that differs from the study's. */
export interface RequirementChange {
  readonly id: string;
  readonly saved: Asked;
  readonly now: Asked;
}

/** The study as it stands on the page, and in what it differs from its files. */
export interface Draft {
  /** The very record of the files where nothing differs. */
  readonly input: StudyInput;
  readonly change: StudyChange;
  readonly ratios: readonly RatioChange[];
  readonly requirements: readonly RequirementChange[];
}

export interface Drafting {
  readonly metrics: Metrics;
  readonly draft: Draft;
  readonly setRatio: (joint: DrivenJoint, ratio: number) => void;
  readonly setAsked: (id: string, asked: Asked) => void;
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

const savedAsked = (input: StudyInput, metrics: Metrics, id: string): Asked | undefined => {
  const found = input.requirements.find((each) => each.id === id);
  return found && askedOf(found, metrics[found.metric]!.unit);
};

function draftOf(saved: StudyInput, metrics: Metrics, history: History): Draft {
  const ratios = DRIVEN.flatMap((joint): RatioChange[] => {
    const there = ratioOf(saved, joint);
    if (there === undefined) return [];
    const now = ratioNow(history, joint, there);
    return now === there ? [] : [{ joint, saved: there, now }];
  });
  const requirements = saved.requirements.flatMap((requirement): RequirementChange[] => {
    const there = askedOf(requirement, metrics[requirement.metric]!.unit);
    const now = askedNow(history, requirement.id, there);
    return sameAsked(now, there) ? [] : [{ id: requirement.id, saved: there, now }];
  });
  const change: StudyChange = {
    ...(ratios.length > 0 && { ratios: Object.fromEntries(ratios.map(({ joint, now }) => [joint, now])) }),
    ...(requirements.length > 0 && {
      requirements: saved.requirements.map((requirement) => {
        const edit = requirements.find(({ id }) => id === requirement.id);
        return edit === undefined ? requirement : withAsked(requirement, edit.now);
      }),
    }),
  };
  return { input: changedStudy(saved, change), change, ratios, requirements };
}

/** Every change of the page in one row of steps: undo and redo lead through all of them, whatever page is open. */
export function useDraft(saved: StudyInput, metrics: Metrics): Drafting {
  const [history, setHistory] = useState(() => kept(saved));
  useEffect(() => {
    try {
      sessionStorage.setItem(keyOf(saved), JSON.stringify(history));
    } catch {
      // storage refused: holds until the page is closed
    }
  }, [saved, history]);
  const draft = useMemo(() => draftOf(saved, metrics, history), [saved, metrics, history]);
  const setRatio = useCallback(
    (joint: DrivenJoint, ratio: number) =>
      setHistory((was) => {
        const there = ratioOf(saved, joint);
        if (there === undefined) return was;
        return stepped(was, { ratio: joint, from: ratioNow(was, joint, there), to: ratio });
      }),
    [saved],
  );
  const setAsked = useCallback(
    (id: string, asked: Asked) =>
      setHistory((was) => {
        const there = savedAsked(saved, metrics, id);
        if (there === undefined) return was;
        return stepped(was, { requirement: id, from: askedNow(was, id, there), to: asked });
      }),
    [saved, metrics],
  );
  const gains = useCallback(
    (joint: DrivenJoint) => gainsNow(history, joint, onGainScales(statedGains(saved))),
    [saved, history],
  );
  const setGains = useCallback(
    (joint: DrivenJoint, to: Gains) =>
      setHistory((was) => {
        const from = gainsNow(was, joint, onGainScales(statedGains(saved)));
        return stepped(was, { gains: joint, from, to });
      }),
    [saved],
  );
  const undo = useCallback(() => setHistory(undone), []);
  const redo = useCallback(() => setHistory(redone), []);
  return {
    ...{ metrics, draft, setRatio, setAsked, gains, setGains, undo, redo },
    canUndo: undoable(history),
    canRedo: redoable(history),
  };
}
