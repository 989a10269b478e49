import type { DrivenJoint, Gains } from '@striderule/engine';

/** One change of one joint's ratio: what Undo takes back. */
export interface RatioStep {
  readonly what: 'ratio';
  readonly joint: DrivenJoint;
  readonly from: number;
  readonly to: number;
}

/** One change of the stiffness and damping that are asked of a joint. */
export interface GainsStep {
  readonly what: 'gains';
  readonly joint: DrivenJoint;
  readonly from: Gains;
  readonly to: Gains;
}

export type Step = RatioStep | GainsStep;

/** Changes in their order, of which the first `done` hold; the rest were undone and can be done again. */
export interface History {
  readonly steps: readonly Step[];
  readonly done: number;
}

export const NO_STEPS: History = { steps: [], done: 0 };

/**
 * What holds: of the last step of its kind that holds; of a first one that was undone, what it began from; where there is no such step,
 * what stood there before. So undoing after a save leads back to the value before it, which is then not saved.
 */
function valueNow<S extends Step>(
  { steps, done }: History,
  ours: (step: Step) => step is S,
  before: S['to'],
): S['to'] {
  const last = steps.slice(0, done).findLast(ours);
  if (last !== undefined) return last.to;
  return steps.slice(done).find(ours)?.from ?? before;
}

/** The ratio that holds for a joint; `saved`: what the leg file says. */
export const ratioNow = (history: History, joint: DrivenJoint, saved: number): number =>
  valueNow(
    history,
    (step): step is RatioStep => step.what === 'ratio' && step.joint === joint,
    saved,
  ) as number;

/** The gains that are asked of a joint; `stated`: those it is looked at by itself. */
export const gainsNow = (history: History, joint: DrivenJoint, stated: Gains): Gains =>
  valueNow(
    history,
    (step): step is GainsStep => step.what === 'gains' && step.joint === joint,
    stated,
  ) as Gains;

export const sameGains = (a: Gains, b: Gains): boolean =>
  a.stiffness === b.stiffness && a.damping === b.damping;

const changesNothing = (step: Step): boolean =>
  step.what === 'ratio' ? step.from === step.to : sameGains(step.from, step.to);

/** A new step, after those that hold; what was undone before it is gone. A step that changes nothing is none. */
export function stepped({ steps, done }: History, step: Step): History {
  if (changesNothing(step)) return { steps, done };
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

const soundGains = (gains: Gains): boolean => gains.stiffness > 0 && gains.damping > 0;

/** The history as it was kept; undefined where the text is something else. */
export function readHistory(text: string): History | undefined {
  try {
    const { steps, done } = JSON.parse(text) as History;
    const sound = steps.every(
      (step) =>
        (step.joint === 'knee' || step.joint === 'ankle') &&
        (step.what === 'ratio'
          ? step.from > 0 && step.to > 0
          : step.what === 'gains' && soundGains(step.from) && soundGains(step.to)),
    );
    return sound && Number.isInteger(done) && done >= 0 && done <= steps.length ? { steps, done } : undefined;
  } catch {
    return undefined;
  }
}
