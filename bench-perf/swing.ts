import { beginSwing, periodicTrajectory, swingMap, swingState, swingTick } from '@striderule/engine';
import { inTurn, timingText } from './rounds.ts';

const DEG = Math.PI / 180;
const TURN = 2 * Math.PI;
const sampled = (f: (s: number) => number) =>
  periodicTrajectory(
    Array.from({ length: 201 }, (_, k) => f(k / 200)),
    6,
  );
const [STANCE, T, DT, TICKS] = [0.62, 1.1, 1e-3, 400];

/** One tick of the swing controller on an invented walk. Must reach: 2 µs a tick. */
export function swingTime(): string {
  const way = (s: number) => 5 * DEG + 20 * DEG * Math.cos(TURN * s) - 5 * DEG * Math.sin(2 * TURN * s);
  const map = swingMap({
    thigh: sampled(way),
    knee: sampled((s) => DEG * (24 - 4 * Math.cos(TURN * s) - 19 * Math.sin(TURN * s))),
    ankle: sampled((s) => DEG * (3 * Math.cos(TURN * s) + 8 * Math.sin(2 * TURN * s))),
    stance: STANCE,
    strideTime: T,
    finish: true,
    path: 'tasks.bench',
  });
  const state = swingState();
  const thigh = Float64Array.from({ length: TICKS }, (_, k) => way(STANCE + (k * DT) / T));
  const rate = thigh.map((angle, k) => (k === 0 ? 0 : (angle - thigh[k - 1]!) / DT));
  const pose = { thigh: thigh[0]!, knee: 0.6, kneeRate: 5, ankle: -0.2, ankleRate: 1 };
  const times = inTurn({
    swing: () => {
      beginSwing(map, state, pose, 1 / T);
      for (let k = 0; k < TICKS; k++) swingTick(map, state, thigh[k]!, rate[k]!, DT);
      return state[0];
    },
  });
  return [
    'Swing controller, one tick (must reach 2 µs)',
    `  ${TICKS} ticks  ${timingText(times.swing)}, ${((times.swing.median * 1e3) / TICKS).toFixed(2)} µs a tick, ${((times.swing.median * 1e3) / TICKS / 10).toFixed(3)} % of one core at 1 kHz`,
  ].join('\n');
}
