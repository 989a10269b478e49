// A value in the ledger is one step from its inputs only if no other number can change it.
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import type { DrivenJoint } from '../gait/stride.ts';
import { evaluateDesign, studyDemands } from './design.ts';
import { pathsRead } from './metric-paths.ts';
import { metricCatalogue } from './metrics.ts';
import { numberPaths } from './number-paths.ts';
import { valueAt, withValue } from './with-value.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const demands = studyDemands(input);
const metrics = Object.entries(metricCatalogue).flatMap(([name, metric]) =>
  (metric.only === undefined ? (['knee', 'ankle'] as const) : (['knee'] as const)).map((joint) => ({
    name: metric.only === 'leg' ? name : `${joint} ${name}`,
    metric,
    joint: joint as DrivenJoint,
    reads: pathsRead(input, metric, joint),
  })),
);

/** Every metric that does not read `path`, with one number of the leg shifted: its value, or in words why there is none. */
function values(leg: typeof input.leg, path: string): (number | string | undefined)[] {
  const study = { ...input, leg };
  const design = evaluateDesign(study, path.startsWith('segments.') ? undefined : demands);
  return metrics.map(({ metric, joint, reads }) => {
    if (reads.has(path)) return undefined;
    const got = metric.value(study, design, joint, undefined);
    return 'value' in got ? got.value : got.openBecause;
  });
}

test('a metric that a number of the leg changes names it among its inputs', () => {
  const nominal = values(input.leg, '');
  const unnamed: string[] = [];
  for (const path of numberPaths(input.leg)) {
    const value = valueAt(input.leg, path) as number;
    for (const factor of [0.9, 1.15]) {
      const leg = withValue(input.leg, path, value === 0 ? factor * 1e-3 : value * factor);
      values(leg, path).forEach((there, k) => {
        if (there !== undefined && there !== nominal[k])
          unnamed.push(`${metrics[k]!.name}: ${path} × ${factor}`);
      });
    }
  }
  expect(unnamed).toEqual([]);
});
