import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { shortlistCandidates, walkCandidate } from './walk-shortlist.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const [own] = shortlistCandidates(input, 'tern', { ratios: [] });
const LENGTH = { step: 2.5e-4, strides: 2 };

test('a leg of a shortlist walks to the last bit as it does in a study that has never walked', () => {
  const legs = [18, 22.5, 50].map((ratio) => ({
    knee: { ...own!.knee, ratio: 22 },
    ankle: { ...own!.ankle, ratio },
  }));
  const inTurn = legs.map((leg) => walkCandidate(input, leg, { speed: 1.1 }, LENGTH));
  // a copy shares no object with the study, so that nothing is remembered of it
  const alone = walkCandidate(structuredClone(input), legs[2]!, { speed: 1.1 }, LENGTH);
  expect(inTurn[2]).toEqual(alone);
  for (const walk of inTurn) expect(walk.prescribed).toHaveProperty('hip');
  expect(new Set(inTurn.map(({ led }) => JSON.stringify(led))).size).toBe(3);
});
