import { meshFrequencies, motorLines } from '../drive/sound-lines.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { DesignResult } from './design.ts';
import { fastestMotions } from './fastest-motion.ts';
import type { StudyInput } from './study-input.ts';

/** Tones of one joint where a task moves it fastest, Hz: over the stride each sweeps from nothing up to here and back. */
export interface TaskTones {
  readonly task: string;
  /** rad/s */
  readonly shaftSpeed: number;
  readonly electrical: number;
  readonly ripple: number;
  /** NaN where the motor's cogging order is not known. */
  readonly cogging: number;
  /** Of each planetary stage, the motor's first; empty where the teeth are not known. */
  readonly mesh: readonly number[];
}

/** Tones of one joint, task by task; none for a joint that is not driven. */
export function jointTones(input: StudyInput, design: DesignResult, joint: DrivenJoint): TaskTones[] {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return [];
  const { motor, transmission: t } = drive;
  return fastestMotions(design, joint).map(({ task, speed }) => {
    const shaftSpeed = t.ratio * speed;
    return {
      task,
      shaftSpeed,
      ...motorLines(motor.polePairs, shaftSpeed, motor.cogging?.order),
      mesh: t.planetary === undefined ? [] : meshFrequencies(t.planetary, shaftSpeed),
    };
  });
}
