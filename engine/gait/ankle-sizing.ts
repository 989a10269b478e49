import type { StrideTask } from './task.ts';

/**
 * Peak plantarflexor moment of level walking, N·m/kg, at `speed` m/s: treadmill means of 22 adults at 24 speeds,
 * 0.5–1.85 m/s, RMS of the fit 0.016:  M = 0.584 + 1.148·v − 0.299·v².
 * Derived from the group means of Camargo and others, J. Biomechanics 119 (2021) 110320 (data CC BY 4.0).
 */
export const treadmillAnklePeak = (speed: number): number => 0.584 + 1.148 * speed - 0.299 * speed * speed;

const TREADMILL_SPEEDS = { from: 0.5, to: 1.85 };

/** Fast overground walking, 10 adults, speed not given; same source, peaks table. */
const FAST_ANKLE_PEAK = 1.8;

/**
 * Peak plantarflexor moment, N·m/kg, of the intact ankle of nine users of passive above-knee prostheses, by speed, m/s:
 * Hood and others, Scientific Data 7 (2020) 150, group means. A wearer's two ankles share the work, so this is what a powered
 * ankle is asked for if it is to relieve the other.
 */
const INTACT_SIDE = [
  { speed: 0.6, peak: 1.235 },
  { speed: 0.8, peak: 1.455 },
  { speed: 1.0, peak: 1.635 },
  { speed: 1.2, peak: 1.821 },
  { speed: 1.4, peak: 2.019 },
] as const;

/** Published peak an ankle is sized on, or why there is none. */
export type AnkleTarget =
  | { readonly peak: number; readonly why: string }
  | { readonly peak?: undefined; readonly why: string };

function intactSide(speed: number | undefined): AnkleTarget {
  const fastest = INTACT_SIDE[INTACT_SIDE.length - 1];
  const source = 'the intact ankle of prosthesis users (Hood and others, 2020)';
  if (speed === undefined) {
    return {
      peak: fastest.peak,
      why: `${source} at 1.4 m/s, the fastest published; this stride names no speed`,
    };
  }
  if (speed > fastest.speed)
    return { peak: fastest.peak, why: `${source} at 1.4 m/s, the fastest published` };
  const above = INTACT_SIDE.findIndex((row) => row.speed >= speed);
  const b = INTACT_SIDE[above];
  if (b.speed === speed) return { peak: b.peak, why: `${source} at ${speed} m/s` };
  if (above === 0)
    return { why: `the slowest published for the intact side of prosthesis users is ${b.speed} m/s` };
  const a = INTACT_SIDE[above - 1];
  const w = (speed - a.speed) / (b.speed - a.speed);
  return {
    peak: a.peak + w * (b.peak - a.peak),
    why: `${source} at ${speed} m/s, between ${a.speed} and ${b.speed} m/s`,
  };
}

function ableBodied(speed: number | undefined): AnkleTarget {
  if (speed === undefined) return { why: 'this stride names no speed' };
  if (speed < TREADMILL_SPEEDS.from) return { why: `published peaks begin at ${TREADMILL_SPEEDS.from} m/s` };
  if (speed > TREADMILL_SPEEDS.to) {
    return {
      peak: FAST_ANKLE_PEAK,
      why: `fast overground walking (Camargo and others, 2021); their treadmill ends at ${TREADMILL_SPEEDS.to} m/s, with ${treadmillAnklePeak(TREADMILL_SPEEDS.to).toFixed(2)}`,
    };
  }
  return {
    peak: treadmillAnklePeak(speed),
    why: `treadmill regression at ${speed} m/s (Camargo and others, 2021)`,
  };
}

/**
 * Published peak ankle moment that sizes a level-walking leg at `speed`, N·m/kg. The ensemble mean's own peak is low, since
 * averaging flattens peaks that come at different moments in different people.
 */
export function ankleTarget(sizing: StrideTask['ankleSizing'], speed: number | undefined): AnkleTarget {
  if (sizing === 'curve') return { why: 'the task asks for the curve’s own peak' };
  return sizing === 'intact side' ? intactSide(speed) : ableBodied(speed);
}
