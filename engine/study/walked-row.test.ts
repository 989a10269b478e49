import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import type { Requirement } from '../evidence/requirement.ts';
import { evaluateStudy } from './evaluate.ts';
import type { LedgerWalked } from './ledger-walk.ts';
import { openTolerance } from './tolerance.ts';
import { type KeptWalk, withWalks } from './walked-row.ts';
import { ledgerWalkName, ledgerWalks } from './walks-asked.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const asked = (more: Partial<Requirement>): Requirement => ({
  id: 'r',
  metric: 'guideForce',
  bound: { kind: 'at most', value: 0.1 },
  because: 'test',
  ...more,
});
type Walk = ReturnType<typeof ledgerWalks>[number];
/** The line of one requirement whose every walk came to what `of` says. */
function rowOf(
  requirement: Requirement,
  of: (walk: Walk) => number | LedgerWalked | undefined,
  changed?: (walk: Walk) => string | undefined,
) {
  const study = { ...input, requirements: [requirement] };
  const name =
    requirement.joint === undefined ? requirement.metric : `${requirement.metric}.${requirement.joint}`;
  const kept = new Map<string, KeptWalk>();
  for (const walk of ledgerWalks(study)) {
    const came = of(walk);
    if (came === undefined) continue;
    const walked = typeof came === 'number' ? { figures: { [name]: came } } : came;
    const since = changed?.(walk);
    kept.set(ledgerWalkName(walk), { walked, ...(since !== undefined && { changed: since }) });
  }
  return withWalks(study, evaluateStudy(study, {}).ledger, kept)[0]!;
}
const ends = (prescribed: number, led: number) => (walk: Walk) => (walk.thigh === 'led' ? led : prescribed);

test('both ends of the bracket decide: both inside is met, both outside is not, one of each is open', () => {
  expect(rowOf(asked({}), ends(0.06, 0.08))).toMatchObject({
    state: 'met',
    predicted: 0.08,
    walk: { bracket: { prescribed: 0.06, led: 0.08 } },
    interval: null,
  });
  expect(rowOf(asked({}), ends(0.12, 0.11))).toMatchObject({ state: 'not met', predicted: 0.12 });
  const open = rowOf(asked({}), ends(0.12, 0.08));
  expect(open.state).toBe('open');
  expect(open.openBecause).toMatch(/^one end of the bracket is inside the bound, the other is not/);
  // an upward bound has its worse end below
  const least = asked({ bound: { kind: 'at least', value: 0.1 } });
  expect(rowOf(least, ends(0.12, 0.11))).toMatchObject({ state: 'met', predicted: 0.11 });
  expect(rowOf(least, ends(0.12, 0.11)).margin).toBeCloseTo(0.01, 12);
});

test('of several speeds the worst counts at each end, and is named; of one speed and one thigh there is no bracket', () => {
  const row = rowOf(asked({}), ({ speed, thigh }) => (thigh === 'led' ? 0.01 * speed : 0.05 / speed));
  expect(row.walk!.bracket!.prescribed).toBeCloseTo(0.05 / 0.8, 12);
  expect(row.walk!.bracket!.led).toBeCloseTo(0.014, 12);
  expect(row.at).toBe('0.8 m/s, thigh prescribed, paced by a clock');
  const one = rowOf(asked({ speed: 1.1, thigh: 'led', control: 'study' }), () => 0.03);
  expect(one).toMatchObject({ state: 'met', predicted: 0.03, walk: {} });
  expect(one.at).toBe('1.1 m/s, thigh led, the study’s controller');
});

test('a joint’s figure is that joint’s', () => {
  const both = { figures: { 'trackingError.knee': 0.05, 'trackingError.ankle': 0.2 } };
  const of = (joint: 'knee' | 'ankle') => rowOf(asked({ metric: 'trackingError', joint }), () => both).state;
  expect([of('knee'), of('ankle')]).toEqual(['met', 'not met']);
});

test('what was walked of other inputs is stale, with what has changed, once each', () => {
  const row = rowOf(asked({}), ends(0.06, 0.08), ({ thigh }) =>
    thigh === 'led' ? 'leg knee changed' : undefined,
  );
  expect(row).toMatchObject({ state: 'stale', predicted: 0.08, walk: { changed: 'leg knee changed' } });
});

test('not walked, not to be walked, fallen, without a number: open, with its reason; never a state from half of the walks', () => {
  expect(rowOf(asked({}), () => undefined)).toMatchObject({
    state: 'open',
    predicted: null,
    margin: null,
    openBecause: 'it is judged by a walk, and has not been walked',
  });
  expect(rowOf(asked({}), ({ speed }) => (speed === 1.4 ? undefined : 0.01))).toMatchObject({
    state: 'open',
    predicted: null,
  });
  const fell = { figures: { walkedStrides: 3 }, fell: 'after 3.9 s the hip sank' };
  expect(rowOf(asked({}), ({ thigh }) => (thigh === 'led' ? fell : 0.05)).openBecause).toBe(
    '0.8 m/s, thigh led, paced by a clock: after 3.9 s the hip sank',
  );
  const strides = asked({ metric: 'walkedStrides', bound: { kind: 'at least', value: 20 } });
  expect(rowOf(strides, () => fell)).toMatchObject({ state: 'not met', predicted: 3 });
  expect(rowOf(asked({}), () => ({ openBecause: 'add `sole` under `foot`' })).openBecause).toBe(
    '0.8 m/s, thigh prescribed, paced by a clock: add `sole` under `foot`',
  );
  expect(rowOf(asked({}), () => Number.NaN)).toMatchObject({ state: 'open', predicted: null });
});

test('drawn legs are not walked: tolerance leaves these requirements out and names them', () => {
  const requirements = [asked({}), asked({ id: 's', metric: 'reflectedInertia', joint: 'knee' })];
  const run = openTolerance({ ...input, requirements }, { seed: 1 }, {});
  run.draw(2);
  const { requirements: drawn, leftOut } = run.result();
  expect([drawn.map((each) => each.requirement.id), leftOut]).toEqual([['s'], ['r']]);
});
