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

// Some metrics keep what they worked out for as long as what they read is the same record: a copy of the study shares none of it.
test.each(['stanceFitError', 'toeClearance', 'swingKneeError', 'shortStepFlexion'])(
  '%s of a changed study is not that of the one before: the same as of a copy that was never asked',
  (name) => {
    const metric = metricCatalogue[name]!;
    const paths = [...new Set((['knee', 'ankle'] as const).flatMap((j) => [...pathsRead(input, metric, j)]))];
    const of = (study: typeof input, asked?: typeof demands) => {
      const made = evaluateDesign(study, asked);
      return (['knee', 'ankle'] as const).map((joint) => metric.value(study, made, joint, 'walk-natural'));
    };
    const nominal = of(input, demands);
    expect(of(structuredClone(input))).toEqual(nominal);
    const leg = { ...input.leg, wearer: input.wearer };
    let moved = 0;
    for (const path of paths) {
      const value = valueAt(leg, path);
      if (typeof value !== 'number') continue;
      for (const factor of [1.07, 0.2]) {
        const { wearer, ...changed } = withValue(leg, path, factor * value);
        const study = { ...input, wearer, leg: changed };
        const got = of(study, /^(wearer|segments)\./.test(path) ? undefined : demands);
        expect(got, path).toEqual(of(structuredClone(study)));
        if (JSON.stringify(got) !== JSON.stringify(nominal)) moved++;
      }
    }
    expect(moved).toBeGreaterThan(0);
    // and back again
    expect(of(input, demands)).toEqual(nominal);
  },
);
