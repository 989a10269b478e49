import { ledgerWalkName, ledgerWalkReads, ledgerWalks, withValue } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { keptOf } from './use-ledger-walks.ts';
import { withRatio } from './with-ratio.ts';

const { input } = await openStudy(new URL('../../../examples/tern', import.meta.url).pathname);
const kept = new Map(
  ledgerWalks(input).map((walk) => [
    ledgerWalkName(walk),
    { reads: ledgerWalkReads(input, walk), walked: { figures: {} } },
  ]),
);
const changed = (study: typeof input) => [
  ...new Set([...keptOf(study, kept).values()].map((walk) => walk.changed)),
];

test('a walk is of the study as it stands until something it reads changes, and then says what', () => {
  expect(changed(input)).toEqual([undefined]);
  // read anew from the server: other records that say the same
  expect(changed(structuredClone(input))).toEqual([undefined]);
  expect(changed(withRatio(input, 'knee', 21))).toEqual(['leg knee changed']);
  expect(
    changed(withRatio(withRatio(input, 'knee', 21), 'knee', input.leg.joints.knee!.transmission.ratio)),
  ).toEqual([undefined]);
  const heavier = { ...input, leg: withValue(input.leg, 'segments.foot.mass', 1.4) };
  expect(changed(withRatio(heavier, 'ankle', 20))).toEqual(['leg segments changed; leg ankle changed']);
  expect(
    changed({ ...input, requirements: input.requirements.map((each) => ({ ...each, because: 'x' })) }),
  ).toEqual([undefined]);
});
