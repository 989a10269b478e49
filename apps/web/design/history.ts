import type { DrivenJoint, Gains, Requirement } from '@striderule/engine';

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
  | { readonly gains: DrivenJoint; readonly from: Gains; readonly to: Gains }
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
type GainsStep = Extract<Step, { gains: DrivenJoint }>;
type RequirementStep = Extract<Step, { requirement: string }>;

export const ratioNow = (history: History, joint: DrivenJoint, saved: number): number =>
  now(history, (step): step is RatioStep => 'ratio' in step && step.ratio === joint, saved);

/** Stiffness and damping asked of a joint; `stated`: those it is looked at by itself, as no file holds any. */
export const gainsNow = (history: History, joint: DrivenJoint, stated: Gains): Gains =>
  now(history, (step): step is GainsStep => 'gains' in step && step.gains === joint, stated);

export const askedNow = (history: History, id: string, saved: Asked): Asked =>
  now(history, (step): step is RequirementStep => 'requirement' in step && step.requirement === id, saved);

/** Whether two ask the same, however the bound is written. */
export const sameAsked = (a: Asked, b: Asked): boolean =>
  a.value === b.value && a.joint === b.joint && a.task === b.task && a.because === b.because;

export const sameGains = (a: Gains, b: Gains): boolean =>
  a.stiffness === b.stiffness && a.damping === b.damping;

function idle(step: Step): boolean {
  if ('ratio' in step) return step.from === step.to;
  return 'gains' in step ? sameGains(step.from, step.to) : sameAsked(step.from, step.to);
}

/** A new step, after those that hold; what was undone before it is gone. A step that changes nothing is none. */
export function stepped(was: History, step: Step): History {
  if (idle(step)) return was;
  return { steps: [...was.steps.slice(0, was.done), step], done: was.done + 1 };
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

const isJoint = (name: unknown): boolean => name === 'knee' || name === 'ankle';

const isAsked = ({ text, value, joint, task, because }: Asked): boolean =>
  [text, because].every((word) => typeof word === 'string') &&
  Number.isFinite(value) &&
  (joint === undefined || isJoint(joint)) &&
  (task === undefined || typeof task === 'string');

const areGains = ({ stiffness, damping }: Gains): boolean => stiffness > 0 && damping > 0;

function sound(step: Step): boolean {
  if ('ratio' in step) return isJoint(step.ratio) && step.from > 0 && step.to > 0;
  if ('gains' in step) return isJoint(step.gains) && areGains(step.from) && areGains(step.to);
  return typeof step.requirement === 'string' && isAsked(step.from) && isAsked(step.to);
}

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
