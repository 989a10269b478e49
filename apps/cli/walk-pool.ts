import { type CandidateWalk, Fault } from '@striderule/engine';
import { inPool, type PieceTask, type PieceWork } from '@striderule/threads';

type Task = PieceTask<'candidatePieces'>;

/**
 * Walks every candidate on `workers` threads; `done` hears each walk as it comes, by its place among the tasks, and may take its time. An abort
 * ends all threads at once, in the middle of a walk. Fault where a thread fails or is lost: it names the candidate.
 */
export const walkInPool = (
  held: PieceWork<'candidatePieces'>['held'],
  tasks: readonly Task[],
  choice: {
    readonly workers: number;
    readonly signal: AbortSignal;
    readonly done: (index: number, walk: CandidateWalk) => void | Promise<void>;
  },
): Promise<void> => inPool({ open: 'candidatePieces', held, tasks }, { ...choice, failed });

function failed({ candidate }: Task, why: string): Fault {
  const joint = ({ motor, ratio }: { motor: string; ratio: number }) => `${motor} at ${ratio}:1`;
  return new Fault({
    code: 'walk.worker-failed',
    what: `The walk of knee ${joint(candidate.knee)}, ankle ${joint(candidate.ankle)} failed: ${why}`,
    mend: 'Walks that were done are kept: the same command goes on after them. If it fails again, leave this candidate out and report it',
  });
}
