import type { DrivenJoint } from '../gait/stride.ts';
import { DRIVEN } from './design.ts';
import type { Metric } from './metric.ts';
import type { StudyInput } from './study-input.ts';

/** Full path of an input that a metric reads relative to its joint. */
const fullPath = (read: string, joint: DrivenJoint): string =>
  read.startsWith('leg.') ? read.slice(4) : read.startsWith('wearer.') ? read : `joints.${joint}.${read}`;

/** Whose drives a metric reads: every joint's where it is of the whole leg. */
export const jointsOf = (input: StudyInput, metric: Metric, joint: DrivenJoint): readonly DrivenJoint[] =>
  metric.only === 'leg' ? DRIVEN.filter((each) => input.leg.joints[each] !== undefined) : [joint];

/** Paths of every input that a metric reads, in the leg or, with `wearer.`, in the wearer. Nothing else may change its value. */
export const pathsRead = (input: StudyInput, metric: Metric, joint: DrivenJoint): ReadonlySet<string> =>
  new Set(metric.reads.flatMap((read) => jointsOf(input, metric, joint).map((one) => fullPath(read, one))));
