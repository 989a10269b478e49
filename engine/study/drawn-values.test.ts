// Draws share arrays, leg records and what is drawn between them. Here each is made again the plain way, from nothing, and compared.
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import type { Demand } from '../gait/demand-result.ts';
import { personDemand } from '../gait/people.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { randomStream } from '../numeric/random.ts';
import { reusedArrays } from '../numeric/reused-arrays.ts';
import { type Demands, evaluateDesign, studyDemands } from './design.ts';
import { demandsWith, legWith } from './drawn-values.ts';
import { metricCatalogue } from './metrics.ts';
import type { StudyInput } from './study-input.ts';
import { openTolerance } from './tolerance.ts';
import { type UncertainInput, uncertainInputs } from './uncertain-inputs.ts';
import { withValue } from './with-value.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const demands = studyDemands(input);
const PEOPLE = /^people\./;

/** The same study with a spread of a segment, so that demands are made anew in every draw. */
const heavyFoot: StudyInput = {
  ...input,
  spreads: [
    { path: 'segments.foot.mass', nominal: input.leg.segments.foot.mass, sd: 0.02, basis: 'measured' },
    ...input.spreads,
  ],
};

/** One number after another replaced in the leg. */
const plainLeg = (leg: typeof input.leg, inputs: readonly UncertainInput[], values: Float64Array) =>
  inputs.reduce((made, { path }, i) => (PEOPLE.test(path) ? made : withValue(made, path, values[i]!)), leg);

const scoresOf = (inputs: readonly UncertainInput[], values: Float64Array) =>
  Object.fromEntries(
    inputs.flatMap(({ path }, i) => (PEOPLE.test(path) ? [[path.replace(PEOPLE, ''), values[i]!]] : [])),
  ) as { readonly [joint in DrivenJoint]?: number };

const mapped = (all: Demands, of: (demand: Demand) => Demand): Demands =>
  Object.fromEntries(Object.entries(all).map(([id, demand]) => [id, of(demand)]));

/** Another person's moment written out from its formula; nothing else of the joint is changed. */
const plainPerson = (demand: Demand, scores: { readonly [joint in DrivenJoint]?: number }): Demand => {
  if (demand.kind !== 'stride') return demand;
  const joints = { ...demand.joints };
  for (const name of ['knee', 'ankle'] as const) {
    const [joint, score] = [joints[name], scores[name]];
    if (joint === undefined || score === undefined || Number.isNaN(joint.momentScatter)) continue;
    const factor = (1 + score * joint.momentScatter) / joint.momentCover;
    const weight = demand.stanceWeight;
    const moment = joint.humanMoment.map((human, i) =>
      Number.isNaN(joint.deviceMoment[0])
        ? human * factor
        : weight[i]! * (human * factor) + (1 - weight[i]!) * joint.deviceMoment[i]!,
    );
    joints[name] = { ...joint, moment };
  }
  return { ...demand, joints };
};

/** Every metric at both joints, or those named, of one study: numbers, or in words why there is none. */
const valuesOf = (
  study: StudyInput,
  asked: Demands,
  take?: (n: number) => Float64Array,
  names?: string[],
) => {
  const design = evaluateDesign(study, asked, take);
  return Object.entries(metricCatalogue).flatMap(([name, metric]) =>
    names !== undefined && !names.includes(name)
      ? []
      : (metric.only === undefined ? (['knee', 'ankle'] as const) : (['knee'] as const)).map((joint) => {
          const got = metric.value(study, design, joint, undefined);
          return 'value' in got ? got.value : got.openBecause;
        }),
  );
};

const OF_LOADS = ['torqueMargin', 'speedMargin', 'rmsMotorTorque', 'peakMotorCurrent', 'peakMotorTorque'];

describe.each([
  ['spreads of the drives', input],
  ['a segment drawn as well', heavyFoot],
])('draw by draw the shared way gives what the plain one does: %s', (_, study) => {
  const base = studyDemands(study);
  const inputs = uncertainInputs(study, base, false);
  const [legAt, demandsAt] = [legWith(study.leg, inputs), demandsWith(base, inputs)];
  const { take, again } = reusedArrays();
  const stream = randomStream(8);
  const draw = () =>
    Float64Array.from(inputs, ({ nominal, deviation }) => nominal + 0.3 * deviation * stream.normal());
  const shared = (values: Float64Array, names?: string[]) => {
    again();
    const drawn = { ...study, leg: legAt(values) };
    return valuesOf(drawn, demandsAt(drawn, values, take), take, names);
  };
  const plain = (values: Float64Array) => {
    const drawn = { ...study, leg: plainLeg(study.leg, inputs, values) };
    return { drawn, asked: studyDemands(drawn) };
  };

  test('torque, current and speed against people written out from their formula, to the last digit', () => {
    const seen = new Set<unknown>();
    for (let k = 0; k < 40; k++) {
      const values = draw();
      const got = shared(values, OF_LOADS);
      const { drawn, asked } = plain(values);
      const scores = scoresOf(inputs, values);
      expect(got).toEqual(
        valuesOf(
          drawn,
          mapped(asked, (demand) => plainPerson(demand, scores)),
          undefined,
          OF_LOADS,
        ),
      );
      for (const value of got) seen.add(value);
    }
    // no draw saw the one before it
    expect(seen.size).toBeGreaterThan(40 * 2 * OF_LOADS.length - 40);
  });

  test('every metric of the catalogue, with a leg and people of its own', () => {
    for (let k = 0; k < 4; k++) {
      const values = draw();
      const got = shared(values);
      const { drawn, asked } = plain(values);
      const scores = scoresOf(inputs, values);
      expect(got).toEqual(
        valuesOf(
          structuredClone(drawn),
          mapped(asked, (demand) => personDemand(demand, scores)),
        ),
      );
    }
  });

  test('the study itself is not written', () => {
    const leg = structuredClone(study.leg);
    const moment =
      base['walk-natural']!.kind === 'stride' && base['walk-natural']!.joints.ankle!.moment.slice();
    shared(draw(), OF_LOADS);
    expect(study.leg).toEqual(leg);
    expect((base['walk-natural'] as { joints: { ankle: { moment: unknown } } }).joints.ankle.moment).toEqual(
      moment,
    );
  });
});

test('a run gives the percentiles of the plain draws, which fall on draws where there are 41', () => {
  const count = 41;
  const light = {
    ...input,
    requirements: input.requirements.filter(({ metric }) => OF_LOADS.includes(metric)),
  };
  const run = openTolerance(light, { seed: 17 }, demands);
  run.draw(12);
  run.draw(count - 12);
  const { requirements, inputs, impossible } = run.result();
  const refused = Object.values(impossible).reduce((sum, n) => sum + n, 0);

  const stream = randomStream(17);
  // an efficiency beyond 1 or a loss below 0 is drawn again, as the run counts
  let again = 0;
  const can = ({ path }: UncertainInput, x: number) =>
    PEOPLE.test(path) ||
    /equilibrium$|Coefficient$|centre/.test(path) ||
    (x > 0 && !(/Efficiency$|Margin$/.test(path) && x > 1));
  const one = (of: UncertainInput): number => {
    const x =
      of.range === undefined
        ? of.nominal + of.deviation * stream.normal()
        : of.nominal + of.range * (2 * stream.uniform() - 1);
    if (can(of, x)) return x;
    again++;
    return one(of);
  };
  const found = light.requirements.map((): number[] => []);
  for (let k = 0; k < count; k++) {
    const values = Float64Array.from(inputs, one);
    const drawn = { ...light, leg: plainLeg(light.leg, inputs, values) };
    const scores = scoresOf(inputs, values);
    const design = evaluateDesign(
      drawn,
      mapped(demands, (demand) => plainPerson(demand, scores)),
    );
    light.requirements.forEach(({ metric, joint, task }, r) => {
      const got = metricCatalogue[metric]!.value(drawn, design, joint!, task);
      if ('value' in got) found[r]!.push(got.value);
    });
  }
  expect(again).toBe(refused);
  const known = requirements.filter(({ unknown }, r) => unknown === count - found[r]!.length);
  expect(known).toHaveLength(requirements.length);
  requirements.forEach(({ unknown, percentiles }, r) => {
    if (unknown > 0) return;
    const sorted = found[r]!.sort((a, b) => a - b);
    // 0.05, 0.5 and 0.95 of 40 gaps
    expect(percentiles).toEqual([sorted[2], sorted[20], sorted[38]]);
  });
  expect(requirements.filter(({ unknown }) => unknown === 0).length).toBeGreaterThan(3);
});
