import { expect, test } from 'vitest';
import { SHOWN_MOMENT_SIGN, shownMoment } from './shown-sign.ts';

test('natural push-off is printed as the literature prints it: 1.32 N·m/kg, plantarflexor positive', () => {
  // The pin of docs/notation.md: engine −1.32 N·m/kg at natural push-off (ensemble mean, see reference/README.md).
  expect(shownMoment(-1.32)).toBe(1.32);
  expect(SHOWN_MOMENT_SIGN.ankle).toBe('plantarflexor positive');
});

test('there and back is the same number, and zero has no sign', () => {
  for (const moment of [-173.2, -0.0, 0, 1e-9, 42]) expect(shownMoment(shownMoment(moment)) - moment).toBe(0);
  expect(Object.is(shownMoment(0), 0)).toBe(true);
  expect(shownMoment(Number.NaN)).toBeNaN();
});
