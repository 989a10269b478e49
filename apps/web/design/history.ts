import type { DrivenJoint, Requirement } from '@striderule/engine';

/** What a requirement asks, as far as the page changes it. */
export interface Asked {
  /** The bound as the file says it, such as `120 degC`, and in the metric's SI unit. */
  readonly text: string;
  readonly value: number;
  readonly joint?: Requirement['joint'];
  /** Left out: every task. */
  readonly task?: string;
  readonly because: string;
}

/** One change of one value: what Undo takes back. */
export type Step =
  | { readonly ratio: DrivenJoint; readonly from: number; readonly to: number }
  | { readonly requirement: string; readonly from: Asked; readonly to: Asked };

/** Changes in their order, of which the first `done` hold; the rest were undone and can be done again. */
export interface History {
  readonly steps: readonly Step[];
  readonly done: number;
}

export const NO_STEPS: History = { steps: [], done: 0 };

/**
 * What holds of one value: of its last step that holds, what it led to; of a first step that was undone, what it began from; where it
 * has no step at all, what the file says. So undoing after a save leads back to the value before it, which is then not saved.
 */
function now<S extends Step>(
  { steps, done }: History,
  of: (step: Step) => step is S,
  saved: S['to'],
): S['to'] {
  const last = steps.slice(0, done).filter(of).at(-1);
  if (last !== undefined) return last.to;
  return steps.slice(done).find(of)?.from ?? saved;
}

type RatioStep = Extract<Step, { ratio: DrivenJoint }>;
type RequirementStep = Extract<Step, { requirement: string }>;

export const ratioNow = (history: History, joint: DrivenJoint, saved: number): number =>
  now(history, (step): step is RatioStep => 'ratio' in step && step.ratio === joint, saved);

export const askedNow = (history: History, id: string, saved: Asked): Asked =>
  now(history, (step): step is RequirementStep => 'requirement' in step && step.requirement === id, saved);

/** Whether two ask the same, however the bound is written. */
export const sameAsked = (a: Asked, b: Asked): boolean =>
  a.value === b.value && a.joint === b.joint && a.task === b.task && a.because === b.because;

const idle = (step: Step): boolean =>
  'ratio' in step ? step.from === step.to : sameAsked(step.from, step.to);

/** A new step, after those that hold; what was undone before it is gone. A step that changes nothing is none. */
export function stepped({ steps, done }: History, step: Step): History {
  if (idle(step)) return { steps, done };
  return { steps: [...steps.slice(0, done), step], done: done + 1 };
}

export const undone = ({ steps, done }: History): History => ({
  steps,
  done: Math.max(0, done - 1),
});

export const redone = ({ steps, done }: History): History => ({
  steps,
  done: Math.min(steps.length, done + 1),
});

export const undoable = ({ steps, done }: History): Step | undefined => steps[done - 1];
export const redoable = ({ steps, done }: History): Step | undefined => steps[done];

const isAsked = ({ text, value, joint, task, because }: Asked): boolean =>
  [text, because].every((word) => typeof word === 'string') &&
  Number.isFinite(value) &&
  (joint === undefined || joint === 'knee' || joint === 'ankle') &&
  (task === undefined || typeof task === 'string');

const sound = (step: Step): boolean =>
  'ratio' in step
    ? (step.ratio === 'knee' || step.ratio === 'ankle') && step.from > 0 && step.to > 0
    : typeof step.requirement === 'string' && isAsked(step.from) && isAsked(step.to);

/** The history as it was kept; undefined where the text is something else. */
export function readHistory(text: string): History | undefined {
  try {
    const { steps, done } = JSON.parse(text) as History;
    return steps.every(sound) && Number.isInteger(done) && done >= 0 && done <= steps.length
      ? { steps, done }
      : undefined;
  } catch {
    return undefined;
  }
}
