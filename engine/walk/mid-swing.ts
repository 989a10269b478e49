import type { SwingMap } from '../control/swing-map.ts';
import { beginSwing, SWING } from '../control/swing-tick.ts';
import { MEASURED } from './walk-controller.ts';

/** Puts a swing where the reference is at `phase`: its toe-off behind it, with nothing left to blend. */
export function midSwing(
  map: SwingMap,
  state: Float64Array,
  m: Float64Array,
  phase: number,
  pace: number,
): void {
  const [knee, kneeRate] = [m[MEASURED.knee], m[MEASURED.kneeRate]];
  const [ankle, ankleRate] = [m[MEASURED.ankle], m[MEASURED.ankleRate]];
  beginSwing(map, state, { thigh: map.referenceOn, knee, kneeRate, ankle, ankleRate }, pace);
  state[SWING.phase] = phase;
  for (const place of [SWING.kneeOffset, SWING.kneeOffsetSlope, SWING.ankleOffset, SWING.ankleOffsetSlope])
    state[place] = 0;
}
