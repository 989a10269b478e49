import type { Leg, WalkCurves, WalkPart } from '@striderule/engine';
import { expect, test } from 'vitest';
import { columnsOf } from '../rule/curve-rows.ts';
import { readingsOf } from '../rule/draw-hairline.ts';
import { partsOf, walkRuleModel } from './walk-rule-model.ts';

const flat = (value: number) => new Float64Array(201).fill(value);
const joint = (angle: number) => ({
  ...{ angle: flat(angle), target: flat(Number.NaN), own: flat(0.2), torque: flat(-40), asked: flat(-44) },
  ...{ power: flat(100), current: flat(-20) },
});
const stride = (angle: number, stance: number): WalkCurves => ({
  ...{ duration: 1.2, stance, knee: joint(angle), ankle: joint(-angle) },
  ...{ thigh: flat(0.1), ownThigh: flat(0.1), hipMoment: flat(30), ownHipMoment: flat(25) },
  ...{ up: flat(800), forward: flat(-90), ownUp: flat(820), ownForward: flat(-80), forefoot: flat(0.02) },
});
const leg = { joints: {} } as Leg;
const of = (chosen: number, kept?: WalkCurves) =>
  walkRuleModel({
    ...{ title: 'a walk', leg, strides: [stride(0.3, 0.6), stride(0.5, 0.62)], chosen },
    ...{ along: { stance: 0.62 }, kept },
  });
const model = of(1);
const scale = (key: string) => model.scales.find((each) => each.key === key)!;

test('the chosen stride is read, the others are a crowd that no table holds', () => {
  const heads = columnsOf(model).map(({ head }) => head);
  expect(heads.filter((head) => head.startsWith('Knee angle'))).toHaveLength(3);
  expect(scale('knee-angle').series.filter(({ weight }) => weight === 'crowd')).toHaveLength(1);
  expect(readingsOf(scale('knee-angle'), 100)).toEqual([
    { of: '', text: '28.6' },
    { of: 'led to', text: '–' },
    { of: 'reference', text: '11.5°' },
  ]);
});

test('signs are those of every page: extensor, plantarflexor and generation are positive', () => {
  expect(readingsOf(scale('ankle-torque'), 0).map(({ text }) => text)).toEqual(['40.0', '44.0 N·m']);
  expect(readingsOf(scale('hip-moment'), 0).map(({ text }) => text)).toEqual(['−30.0', '−25.0 N·m']);
  expect(readingsOf(scale('power'), 0).map(({ text }) => text)).toEqual(['100', '100 W']);
  expect(readingsOf(scale('forefoot'), 0).map(({ text }) => text)).toEqual(['20 mm']);
});

test('a scale holds every stride, so that it stays where it is while strides are picked', () => {
  const other = of(0);
  for (const [k, { low, high }] of other.scales.entries())
    expect([low, high]).toEqual([model.scales[k]!.low, model.scales[k]!.high]);
});

test('a walk that is kept lies thin under the chosen stride, and the scale holds it too', () => {
  const beside = of(1, stride(0.9, 0.6));
  const knee = beside.scales.find(({ key }) => key === 'knee-angle')!;
  expect(knee.series.filter(({ weight }) => weight === 'kept').map(({ label }) => label)).toEqual(['kept']);
  expect(knee.high).toBeGreaterThan((0.9 * 180) / Math.PI);
  expect(columnsOf(beside).map(({ head }) => head)).toContain('Joint power, ankle, kept, W (generation +)');
});

test('parts of one name look alike, and those of one tint apart', () => {
  const part = (name: string, from: number, to: number, held: WalkPart['held'] = 'stance') => ({
    ...{ name, from, to, held },
  });
  const parts = partsOf(
    [
      part('swing', 100, 120, 'swing'),
      part('stance', 120, 150),
      part('sitting', 150, 180),
      part('stance', 180, 300),
    ],
    100,
    200,
  );
  expect(parts.map(({ from, to }) => [from, to])).toEqual([
    [0, 0.1],
    [0.1, 0.25],
    [0.25, 0.4],
    [0.4, 1],
  ]);
  const looks = parts.map(({ look }) => `${look.tint} ${look.weave}`);
  expect(looks[1]).toBe(looks[3]);
  expect(new Set(looks).size).toBe(3);
});
