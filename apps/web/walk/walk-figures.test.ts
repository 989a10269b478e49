import type { WalkCheck, WalkLine, WalkReport } from '@striderule/engine';
import { expect, test } from 'vitest';
import { walkAnswer } from './walk-figures.ts';

const check = (holds: boolean) => ({ holds }) as WalkCheck;
const line = (state: WalkLine['state']) => ({ state }) as WalkLine;
const report = (checks: readonly WalkCheck[], rest: Partial<WalkReport> = {}): WalkReport =>
  ({ strides: new Array(19).fill({}), checks, speed: 1.1, thigh: 'led', ...rest }) as WalkReport;

test('the question is answered by yes or no, and yes only where nothing is amiss', () => {
  const good = report([check(true), check(true)]);
  expect(walkAnswer('Tern', good, [line('met'), line('met')])).toBe(
    'Yes: Tern comes through 19 whole strides at 1.10 m/s; the 2 lines that the study asks of such a walk are met, 2 figures set against outside hold.',
  );
  expect(walkAnswer('Tern', good, [line('not met'), line('met')])).toBe(
    'No, not as it is asked: Tern comes through 19 whole strides at 1.10 m/s, but 1 of the 2 lines that the study asks of such a walk is not met; 2 figures set against outside hold.',
  );
  expect(walkAnswer('Tern', report([check(true), check(false)]), [line('met')])).toMatch(
    /^No, .*, but 1 of 2 figures set against outside lies beyond its line; the 1 line .* is met\.$/,
  );
  expect(walkAnswer('Tern', good, [line('open'), line('met')])).toMatch(
    /^Yes, as far as it is judged: .* 1 of the 2 lines/,
  );
  expect(walkAnswer('Tern', good, [])).toMatch(/^Yes: .*; the study asks nothing of such a walk, /);
  expect(
    walkAnswer('Tern', report([], { fell: { time: 2.345, why: 'the hip sank' } }), [line('met')]),
  ).toMatch(/^No: Tern fell after 2\.3[45] s at 1\.10 m\/s: the hip sank, 19 whole strides before\.$/);
});

test('what the walk asks of the hip is in the answer', () => {
  const steady = { hipPositiveWork: 22.46, hipNegativeWork: -14.96 } as WalkReport['steady'];
  expect(walkAnswer('Tern', report([], { steady: steady! }), [])).toMatch(
    /The hip gives 22\.5 J and takes 15\.0 J a stride, the thigh led\.$/,
  );
});
