import { referenceStrides } from '@striderule/reference';
import { expect, test } from 'vitest';
import { requireWholeStride, strideFaults } from './check-stride.ts';
import type { Stride, StrideCurve } from './stride.ts';

const strides = referenceStrides();
const table = (more: Partial<Extract<StrideCurve, { form: 'table' }>>): StrideCurve => ({
  form: 'table',
  percent: [0, 30, 60, 100],
  value: [0, 1, 2, 0],
  periodic: false,
  ...more,
});
const withAnkle = (angle: StrideCurve): Stride => ({
  ...strides['ankle-level'],
  joints: { ankle: { angle } },
});
const text = (stride: Stride) => {
  try {
    requireWholeStride(stride);
    return '';
  } catch (e) {
    return (e as Error).message;
  }
};

test('what ships is whole', () => {
  for (const stride of Object.values(strides)) expect(strideFaults(stride)).toEqual([]);
});

test('an empty stride, a missing value, a column that is not a stride', () => {
  expect(text({ ...strides['ankle-level'], joints: {} })).toBe(
    'strides.ankle-level.joints: The stride has no joint. Give the angle of at least one of hip, knee, ankle.',
  );
  expect(text(withAnkle(table({ value: [0, Number.NaN, 2, 0] })))).toBe(
    'strides.ankle-level.joints.ankle.angle: Row 2 of 4 holds no number. Fill the gap in the source, or leave the whole column out: a missing value is never made up here.',
  );
  expect(text(withAnkle(table({ percent: [0, 100], value: [1, 1] })))).toContain(
    'A curve needs at least 4 rows with a value each, this has 2 places and 2 values',
  );
  expect(text(withAnkle(table({ percent: [0, 30, 30, 100] })))).toContain('Place 30 % follows 30 %');
  expect(text(withAnkle(table({ percent: [2, 30, 60, 98] })))).toContain('The places run from 2 to 98 %');
  expect(text(withAnkle(table({ value: [0, 1, 2, 3], periodic: true })))).toContain(
    'The curve is called periodic, and ends at 3 where it began at 0. Say `periodic: false`',
  );
});

test('every fault is found before work stops', () => {
  const broken: Stride = { ...withAnkle(table({ value: [0, 1, 2] })), strideTime: 0, stance: 62 };
  expect(strideFaults(broken).map((f) => f.code)).toEqual([
    'gait.stride-time',
    'gait.stance',
    'gait.table-too-short',
  ]);
  expect(text(broken)).toContain('Stance is a share of the stride between 0 and 1, not 62');
  const series = strides['walk-natural'].thigh;
  if (series?.form !== 'series') throw new Error('a series ships');
  expect(text(withAnkle({ ...series, cos: [1], sin: [] }))).toContain(
    'as many cosines as sines, all of them numbers. Fit the curve again.',
  );
});
