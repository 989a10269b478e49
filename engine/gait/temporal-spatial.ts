import { Fault } from '../quantity/fault.ts';

/** Where a walk takes place; stride length at low speed differs between the two. */
export type Surface = 'overground' | 'treadmill';

/**
 * ln(L/H) = a + b·ln(v/H), L stride length m, H stature m, v speed m/s. v/H carries 1/s, as the fit was made.
 *
 * Treadmill: 35 adults of 1.49–1.88 m, 210 trials at 0.39–1.77 m/s, R² 0.905, RMS 6 %, derived from Fukuchi, Fukuchi & Duarte,
 * PeerJ 6 (2018) e4640 (CC BY 4.0). Overground: 29 adults, 567 strides in bins from 0.6 to 2.2 m/s, derived from Lencioni and
 * others, Scientific Data 6 (2019). Overground strides are the longer, by 13 % at 0.8 m/s and 3 % at 1.77 m/s: never pool the two.
 */
const REGRESSION: Readonly<Record<Surface, { a: number; b: number; from: number; to: number }>> = {
  treadmill: { a: -0.1329, b: 0.5096, from: 0.39, to: 1.77 },
  overground: { a: -0.1005, b: 0.3944, from: 0.6, to: 2.2 },
};

/**
 * Stride time, s, of a wearer of this stature walking at `speed` m/s: T = L/v with L by regression over stature.
 * Faults outside the speeds the regression was made from, and for a stature that is no length.
 */
export function strideTimeAt(speed: number, height: number, surface: Surface): number {
  const { a, b, from, to } = REGRESSION[surface];
  if (!(speed >= from && speed <= to)) {
    const other = surface === 'treadmill' ? 'overground' : 'treadmill';
    const reach = REGRESSION[other];
    const elsewhere = speed >= reach.from && speed <= reach.to ? `, walk ${other}` : '';
    throw new Fault({
      code: 'gait.speed-outside-regression',
      what: `${speed} m/s is outside the ${from}–${to} m/s of the ${surface} stride-length regression`,
      mend: `Choose a speed from ${from} to ${to} m/s${elsewhere}, or record strides at this speed`,
    });
  }
  if (!(height > 0 && Number.isFinite(height))) {
    throw new Fault({
      code: 'gait.stature',
      what: `A stature is a length above 0, not ${height} m`,
      mend: "Give the wearer's height in metres",
    });
  }
  return (height * Math.exp(a + b * Math.log(speed / height))) / speed;
}
