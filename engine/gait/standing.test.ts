import { expect, test } from 'vitest';
import { standingDemand } from './standing.ts';
import type { StandingTask } from './task.ts';

const wearer = { code: 'T', mass: 80, height: 1.75, side: 'left' } as const;
const task: StandingTask = {
  kind: 'standing',
  id: 's',
  title: 'Stand',
  loadShare: 0.5,
  lean: 0.04,
  duty: { duration: 60 },
};

// inverted pendulum, by hand: half of 80 kg, 0.53 of 1.75 m
test('stiffness m·g·h of this leg’s share, torque for the lean, plantarflexor', () => {
  const d = standingDemand(task, wearer);
  expect(d.ankleStiffness).toBeCloseTo(0.5 * 80 * 9.80665 * 0.53 * 1.75, 9);
  expect(d.ankleMoment).toBeCloseTo(-0.5 * 80 * 9.80665 * 0.04, 9);
  expect(d.duration).toBe(60);
  expect(standingDemand({ ...task, duty: {} }, wearer).duration).toBeNaN();
});

test('a share in per cent and a lean that is no number are refused', () => {
  expect(() => standingDemand({ ...task, loadShare: 50 }, wearer)).toThrow(
    'tasks.s.loadShare: The share of body weight on this leg lies between 0 and 1, not at 50. Use 0.5 for standing on both legs alike, 1 for this leg alone.',
  );
  expect(() => standingDemand({ ...task, lean: Number.NaN }, wearer)).toThrow(
    'tasks.s.lean: The centre of pressure stays under the foot, within 0.3 m of the ankle, not at NaN m.',
  );
});
