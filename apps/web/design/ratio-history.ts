import type { DrivenJoint } from '@striderule/engine';

/** One change of one ratio: what Undo takes back. */
export interface RatioStep {
  readonly joint: DrivenJoint;
  readonly from: number;
  readonly to: number;
}

/** Changes in their order, of which the first `done` hold; the rest were undone and can be done again. */
export interface RatioHistory {
  readonly steps: readonly RatioStep[];
  readonly done: number;
}

export const NO_STEPS: RatioHistory = { steps: [], done: 0 };

/**
 * The ratio that holds for a joint: of the last step that holds; of a first step that was undone, what it began from; where the joint
 * has no step at all, what the leg file says. So undoing after a save leads back to the value before it, which is then not saved.
 */
export function ratioNow({ steps, done }: RatioHistory, joint: DrivenJoint, saved: number): number {
  const last = steps.slice(0, done).findLast((step) => step.joint === joint);
  if (last !== undefined) return last.to;
  return steps.slice(done).find((step) => step.joint === joint)?.from ?? saved;
}

/** A new step, after those that hold; what was undone before it is gone. A step that changes nothing is none. */
export function stepped({ steps, done }: RatioHistory, step: RatioStep): RatioHistory {
  if (step.from === step.to) return { steps, done };
  return { steps: [...steps.slice(0, done), step], done: done + 1 };
}

export const undone = ({ steps, done }: RatioHistory): RatioHistory => ({
  steps,
  done: Math.max(0, done - 1),
});

export const redone = ({ steps, done }: RatioHistory): RatioHistory => ({
  steps,
  done: Math.min(steps.length, done + 1),
});

export const undoable = ({ steps, done }: RatioHistory): RatioStep | undefined => steps[done - 1];
export const redoable = ({ steps, done }: RatioHistory): RatioStep | undefined => steps[done];

/** The history as `keep` wrote it; undefined where the text is something else. */
export function readHistory(text: string): RatioHistory | undefined {
  try {
    const { steps, done } = JSON.parse(text) as RatioHistory;
    const sound = steps.every(
      ({ joint, from, to }) => (joint === 'knee' || joint === 'ankle') && from > 0 && to > 0,
    );
    return sound && Number.isInteger(done) && done >= 0 && done <= steps.length ? { steps, done } : undefined;
  } catch {
    return undefined;
  }
}
