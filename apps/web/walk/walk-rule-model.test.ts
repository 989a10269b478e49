import type { Leg, WalkCurves, WalkedQuantities, WalkPart } from '@striderule/engine';
import { expect, test } from 'vitest';
import { columnsOf } from '../rule/curve-rows.ts';
import { readingsOf } from '../rule/draw-hairline.ts';
import { partsOf, walkRuleModel } from './walk-rule-model.ts';

/** The same everywhere: of a stride in each sample, of an instant once. */
const told = <Of>(of: (value: number) => Of, angle: number): WalkedQuantities<Of> => {
  const joint = (turned: number) => ({
    ...{ angle: of(turned), target: of(Number.NaN), own: of(0.2), torque: of(-40), asked: of(-44) },
    ...{ power: of(100), current: of(-20) },
  });
  return {
    ...{ knee: joint(angle), ankle: joint(-angle), thigh: of(0.1), ownThigh: of(0.1) },
    ...{ hipMoment: of(30), ownHipMoment: of(25), up: of(800), forward: of(-90) },
    ...{ ownUp: of(820), ownForward: of(-80), forefoot: of(0.02) },
  };
};
const stride = (angle: number, stance: number): WalkCurves => ({
  ...{ duration: 1.2, stance },
  ...told((value) => new Float64Array(201).fill(value), angle),
});
const leg = { joints: {} } as Leg;
const of = (chosen: number, kept?: WalkCurves, instant = (_: number) => told((value) => value, 0.5)) =>
  walkRuleModel({
    ...{ title: 'a walk', leg, strides: [stride(0.3, 0.6), stride(0.5, 0.62)], chosen },
    ...{ along: { stance: 0.62 }, kept, instant },
  });
const model = of(1);
const scale = (key: string) => model.scales.find((each) => each.key === key)!;

test('the chosen stride is read, the others are a crowd that no table holds', () => {
  const heads = columnsOf(model).map(({ head }) => head);
  expect(heads.filter((head) => head.startsWith('Knee angle'))).toHaveLength(3);
  expect(scale('knee-angle').series.filter(({ weight }) => weight === 'crowd')).toHaveLength(1);
  expect(readingsOf(scale('knee-angle'), 100)).toEqual([
    { of: '', text: '28.6' },
    { of: 'swing target', text: '–' },
    { of: 'reference', text: '11.5°' },
  ]);
});

test('signs are those of every page: extensor, plantarflexor and generation are positive', () => {
  expect(readingsOf(scale('ankle-torque'), 0).map(({ text }) => text)).toEqual(['40.0', '44.0 N·m']);
  expect(readingsOf(scale('hip-moment'), 0).map(({ text }) => text)).toEqual(['−30.0', '−25.0 N·m']);
  expect(readingsOf(scale('power'), 0).map(({ text }) => text)).toEqual(['100', '100 W']);
  expect(readingsOf(scale('forefoot'), 0).map(({ text }) => text)).toEqual(['20 mm']);
});

test('the hairline reads the instant at which it stands, between the samples of a curve too', () => {
  const rising = of(1, undefined, (percent) => told((value) => value, percent / 100));
  const knee = rising.scales.find(({ key }) => key === 'knee-angle')!;
  expect(readingsOf(knee, 50.2)[0]!.text).toBe(((0.502 * 180) / Math.PI).toFixed(1));
  expect(readingsOf(knee, 50.4)[0]!.text).toBe(((0.504 * 180) / Math.PI).toFixed(1));
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
