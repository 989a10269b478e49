import type { Metric } from './metric.ts';
import { STRENGTH } from './metric-cautions.ts';
import type { MetricFunction } from './metric-value.ts';

/** Least room between a task's angles and the ends of the joint's range, over the tasks with a curve or of the one that is named. */
const rangeLeft: MetricFunction = (input, design, joint, only) => {
  const range = input.leg.joints[joint]?.range;
  if (range === undefined) return { openBecause: `the leg has no ${joint} drive` };
  let found: { value: number; at: string; task: string } | undefined;
  for (const [id, demand] of Object.entries(design.demands)) {
    if ((only !== undefined && id !== only) || demand.kind !== 'stride') continue;
    demand.joints[joint]?.angle.forEach((angle, i) => {
      const value = Math.min(range.to - angle, angle - range.from);
      if (!Number.isNaN(value) && (found === undefined || value < found.value))
        found = { value, at: `${demand.task.title}, ${demand.percent[i]!.toFixed(1)} %`, task: id };
    });
  }
  return (
    found ?? {
      openBecause: only === undefined ? `no task has a ${joint} curve` : `task ${only} has no ${joint} curve`,
    }
  );
};

/** What the joint's range of motion leaves. */
export const motionMetrics: Readonly<Record<string, Metric>> = {
  rangeLeft: {
    title: 'Range of motion left',
    kind: 'angle',
    unit: 'rad',
    formula: 'min(θ_to − θ, θ − θ_from) over the stride',
    chapter: 'drive.md#range-of-motion',
    reads: ['range.from', 'range.to'],
    cautions: [
      'Below zero the joint meets its end stop in that task: the stride as published cannot be done, and no torque says so.',
      STRENGTH,
    ],
    value: rangeLeft,
  },
};
