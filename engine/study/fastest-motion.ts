import type { DrivenJoint } from '../gait/stride.ts';
import type { DesignResult } from './design.ts';

/** The fastest a task moves a joint. */
export interface FastestMotion {
  readonly task: string;
  readonly title: string;
  /** |θ̇|, rad/s; of a published range, the far end. */
  readonly speed: number;
}

/** How fast each task moves a joint, tasks without motion left out. */
export function fastestMotions(design: DesignResult, joint: DrivenJoint): FastestMotion[] {
  return Object.entries(design.demands).flatMap(([task, demand]) => {
    const { title } = demand.task;
    if (demand.kind === 'standing') return [];
    const range = demand.kind === 'peaks' ? demand.joints[joint]?.speed : undefined;
    const speed =
      demand.kind === 'stride'
        ? demand.joints[joint]?.peak.speed
        : range && Math.max(Math.abs(range.low), Math.abs(range.high));
    return speed === undefined || Number.isNaN(speed) ? [] : [{ task, title, speed }];
  });
}

/** The fastest of all tasks, or of the one that is named; undefined where none moves the joint. */
export const fastestMotion = (
  design: DesignResult,
  joint: DrivenJoint,
  only?: string,
): FastestMotion | undefined =>
  fastestMotions(design, joint)
    .filter(({ task }) => only === undefined || task === only)
    .sort((a, b) => b.speed - a.speed)[0];
