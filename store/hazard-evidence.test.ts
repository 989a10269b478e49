import { expect, test } from 'vitest';
import { evidenceOf } from './hazard-evidence.ts';
import { only, spoilt } from './test-spoilt.ts';

test('what shows a hazard: names of requirements, faults and scenarios, and words for people', () => {
  expect(evidenceOf('open')).toEqual([]);
  expect(evidenceOf('requirement a, b; fault c; a test on the bench; scenario d')).toEqual([
    { kind: 'requirement', name: 'a' },
    { kind: 'requirement', name: 'b' },
    { kind: 'fault', name: 'c' },
    { kind: 'scenario', name: 'd' },
  ]);
});

const WRONG: [string, string, string][] = [
  [
    'fault pack-opens',
    'fault pack-shuts',
    'the hazard `pack-opens-braking` is shown by the fault `pack-shuts`, and there is none of that name. Name one of: power-lost, pack-opens, knee-missing',
  ],
  [
    'requirement safe-in-time',
    'requirement save-in-time',
    'the hazard `sensor-lost` is shown by the requirement `save-in-time`, and there is none of that name',
  ],
  [
    'scenario stop-and-start',
    'scenario stop-and-think',
    'the hazard `state-trap` is shown by the scenario `stop-and-think`, and there is none of that name. Name one of: cadence, chair',
  ],
];
for (const [from, to, told] of WRONG)
  test(`a name that stands for nothing: ${to}`, async () => {
    expect(await only(spoilt('hazards.yaml', from, to))).toContain(told);
  });
