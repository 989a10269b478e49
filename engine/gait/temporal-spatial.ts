import { Fault } from '../quantity/fault.ts';

/** Where a walk takes place; stride length at low speed differs between the two. */
export type Surface = 'overground' | 'treadmill';

/**
 * ln(L/H) = a + b·ln(v/H), L stride length m, H stature m, v speed m/s.
 *
 * Treadmill: 35 adults, 210 trials, R² 0.905, derived from Fukuchi, Fukuchi & Duarte, PeerJ 6 (2018) e4640 (CC BY 4.0).
 * Overground: 29 adults, 567 strides, derived from Lencioni and others, Scientific Data 6 (2019).
 */
const REGRESSION: Readonly<Record<Surface, { a: number; b: number; from: number; to: number }>> = {
  treadmill: { a: -0.1329, b: 0.5096, from: 0.39, to: 1.85 },
  overground: { a: -0.1005, b: 0.3944, from: 0.39, to: 2.0 },
};

/**
 * Stride time, s, of a wearer of this stature walking at `speed` m/s: T = L/v with L by regression over stature.
 * Faults outside the speeds the regression was made from.
 */
export function strideTimeAt(speed: number, height: number, surface: Surface): number {
  const { a, b, from, to } = REGRESSION[surface];
  if (!(speed >= from && speed <= to)) {
    throw new Fault({
      code: 'gait.speed-outside-regression',
      what: `${speed} m/s is outside the ${from}–${to} m/s of the ${surface} stride-length regression`,
      mend: `Choose a speed from ${from} to ${to} m/s, or record strides at this speed`,
    });
  }
  return (height * Math.exp(a + b * Math.log(speed / height))) / speed;
}
