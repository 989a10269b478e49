import { Fault } from '../quantity/fault.ts';
import type { StudyInput } from './study-input.ts';
import { asPlanned, type WalkedStudy, type WalkLever, walkLevers } from './walk-levers.ts';
import { drivesNothing } from './walk-needs.ts';
import type { WalkChoice } from './walk-plan.ts';
import { type WalkReport, walkReport } from './walk-report.ts';

type Open = { readonly openBecause: string };

/** Both ends of the bracket: what the wearer's hip does lies between, as far as a model knows. */
export const THIGHS = ['prescribed', 'led'] as const;
export type Thigh = (typeof THIGHS)[number];

/** What one lever costs at one end of the bracket, J of positive hip work a stride. */
export interface EndPrice {
  /** J ÷ the lever's unit by the small and by the large step, central; NaN where there is no walk. */
  readonly narrow: number;
  readonly wide: number;
  /** J by which work at both ends of the large step lies above the straight line through nominal, for one spread; NaN where nominal is at an end. */
  readonly bend: number;
  /** Why there is no price. */
  readonly noneBecause?: string;
}

export interface LeverPrice {
  readonly lever: Omit<WalkLever, 'at'>;
  readonly prescribed: EndPrice;
  readonly led: EndPrice;
  /** Larger of the two |prices|·spread, J; 0 where there is none. */
  readonly effect: number;
}

/** The walk as planned at one end. */
export interface PricedEnd {
  /** J of positive hip work a stride, mean of the strides counted; and their largest less their least. */
  readonly hip: number;
  readonly uneven: number;
}

/** A bench test and the share of the variance of hip work, over all that can be measured and has a price, that it would take away. */
export interface TestShare {
  readonly test: string;
  readonly prescribed: number;
  readonly led: number;
}

/** What everything costs the wearer's hip, the dearest first. */
export interface WalkPrice {
  readonly speed: number;
  readonly ground: 'treadmill' | 'overground';
  readonly step: number;
  readonly strides: number;
  /** Strides of each walk that are counted, its last ones. */
  readonly counted: number;
  readonly ends: { readonly [thigh in Thigh]: PricedEnd };
  readonly prices: readonly LeverPrice[];
  /** The one that narrows most first. */
  readonly tests: readonly TestShare[];
  readonly walks: number;
  /** Largest share of the work moved that the energy missed in any of them. */
  readonly audit: number;
  readonly notes: readonly string[];
}

/** The price of one lever, and what it took. */
export interface PricedLever {
  readonly price: LeverPrice;
  readonly walks: number;
  readonly audit: number;
}

/** Prices that are worked out lever by lever. */
export interface WalkPriceRun {
  readonly levers: readonly Omit<WalkLever, 'at'>[];
  /** The leg as planned, nothing priced yet. */
  readonly planned: WalkPrice;
  /** The price of the k-th lever; the same whatever was priced before. */
  readonly at: (k: number) => PricedLever;
}

/** Fewest strides of a walk that is to be steady in its second half. Our choice. */
export const LEAST_STRIDES = 6;
/** Two steps that disagree by more than this share of the larger price tell no price. Our own line. */
const AGREE = 0.5;

/** What a reader of the prices must know. */
export const PRICE_NOTES: readonly string[] = [
  'Moves by: the larger price of both ends times the spread. Leg file: its own standard deviation; typical: COMMON PRACTICE for its kind; a step: what a builder would try, our own choice, and no spread. Bends by: how far both ends of that lie above the straight line.',
  'No price: the small and the large step differ in sign or by more than half, or the strides of one walk differ more than that.',
  'Software is fitted to each changed leg as to the planned one, except that it knows nothing of an error of the torque constant, of a foot that is set otherwise, of a thigh misread. Springs are changed about their equilibrium.',
  'Prescribed: the hip does whatever keeps the thigh on its course. Led: a spring and damper of the hip lead it. What a wearer does lies between, as far as a model knows.',
];

/** Hip work of one walk, or why there is none. */
type Walked = (PricedEnd & { readonly audit: number; readonly notes: readonly string[] }) | Open;

/**
 * The price of each of `levers` in hip work, by central differences through the whole thread: leg file, software as it would be tuned for that
 * leg, closed-loop walk. At unchanged motion of the thigh.
 *
 *     price = (W(x + h) − W(x − h))/2h,   bend = ½·(W(x + H) − 2·W(x) + W(x − H))·(spread/H)²,   H the large step
 *
 * W: positive work of the hip, mean of the last half of the strides. No price where small and large step differ in sign or by more than half,
 * or move W by less than its strides differ among themselves. The reason where the leg as planned cannot be walked. Faults: fewer than six
 * strides; as `openWalk`.
 */
export function openWalkPrice(
  input: StudyInput,
  choice: Pick<WalkChoice, 'speed' | 'ground'>,
  length: { readonly step: number; readonly strides: number },
  levers: readonly WalkLever[] = walkLevers(input),
): WalkPriceRun | Open {
  if (!(length.strides >= LEAST_STRIDES)) {
    throw new Fault({
      code: 'walk.too-short',
      what: `A price is read off steady strides, and a walk of ${length.strides} has none`,
      mend: `Walk at least ${LEAST_STRIDES}`,
    });
  }
  if (drivesNothing(input.leg))
    return { openBecause: 'this leg has no drives and no software, and prices are of a driven leg' };
  const counted = Math.floor(length.strides / 2);
  const walked = ({ input: study, change }: WalkedStudy, thigh: Thigh): Walked => {
    const report = walkReport(study, { ...choice, thigh, change }, length);
    return 'openBecause' in report ? report : endOf(report, counted);
  };
  const sound = asPlanned(input);
  const middle = { prescribed: walked(sound, 'prescribed'), led: walked(sound, 'led') };
  for (const thigh of THIGHS) {
    const end = middle[thigh];
    if ('openBecause' in end) return { openBecause: `thigh ${thigh}: ${end.openBecause}` };
  }
  const ends = middle as { readonly [thigh in Thigh]: Exclude<Walked, Open> };

  return {
    levers: levers.map(told),
    at(k) {
      const lever = levers[k];
      let walks = 0;
      let audit = 0;
      const priced = (thigh: Thigh): EndPrice =>
        endPrice(lever, ends[thigh], (value) => {
          walks++;
          try {
            const end = walked(lever.at(sound, value), thigh);
            if (!('openBecause' in end)) audit = Math.max(audit, end.audit);
            return end;
          } catch (error) {
            // a leg that the audit refuses has no price; the one as planned has passed it
            if (error instanceof Fault) return { openBecause: error.faults[0]!.what };
            throw error;
          }
        });
      const [prescribed, led] = [priced('prescribed'), priced('led')];
      const effect = Math.max(
        ...[prescribed, led].map((end) =>
          end.noneBecause === undefined ? Math.abs(end.narrow) * lever.spread : 0,
        ),
      );
      return { price: { lever: told(lever), prescribed, led, effect }, walks, audit };
    },
    planned: {
      speed: choice.speed,
      ground: choice.ground ?? 'treadmill',
      ...length,
      counted,
      ends: {
        prescribed: { hip: ends.prescribed.hip, uneven: ends.prescribed.uneven },
        led: { hip: ends.led.hip, uneven: ends.led.uneven },
      },
      prices: [],
      tests: [],
      walks: THIGHS.length,
      audit: Math.max(ends.prescribed.audit, ends.led.audit),
      notes: ends.prescribed.notes,
    },
  };
}

/** What was priced, in the order of its levers, beside the leg as planned. */
export function withPrices(planned: WalkPrice, priced: readonly PricedLever[]): WalkPrice {
  const prices = priced.map(({ price }) => price);
  return {
    ...planned,
    prices: prices.toSorted((a, b) => b.effect - a.effect),
    tests: testShares(prices),
    walks: priced.reduce((sum, { walks }) => sum + walks, planned.walks),
    audit: Math.max(planned.audit, ...priced.map(({ audit }) => audit)),
  };
}

const told = ({ at: _, ...lever }: WalkLever): Omit<WalkLever, 'at'> => lever;

function endOf({ strides, fell, audit, notes }: WalkReport, counted: number): Walked {
  if (fell !== undefined) return { openBecause: `after ${fell.time.toFixed(1)} s ${fell.why}` };
  if (strides.length < counted) return { openBecause: `it made ${strides.length} whole strides` };
  const works = strides.slice(-counted).map(({ hip }) => hip.positiveWork);
  return {
    hip: works.reduce((sum, work) => sum + work, 0) / counted,
    uneven: Math.max(...works) - Math.min(...works),
    audit: audit.share,
    notes,
  };
}

function endPrice(
  { narrow, wide, nominal, spread }: WalkLever,
  middle: PricedEnd,
  walked: (value: number) => Walked,
): EndPrice {
  const none = { narrow: Number.NaN, wide: Number.NaN, bend: Number.NaN };
  const known = new Map<number, PricedEnd>([[nominal, middle]]);
  for (const value of [...narrow, ...wide]) {
    if (known.has(value)) continue;
    const end = walked(value);
    if ('openBecause' in end) {
      const step = narrow.includes(value) ? 'small' : 'large';
      const way = value < nominal ? 'down' : 'up';
      return { ...none, noneBecause: `no walk a ${step} step ${way}: ${end.openBecause}` };
    }
    known.set(value, end);
  }
  const at = (value: number): number => known.get(value)!.hip;
  const slope = ([low, high]: readonly [number, number]): number => (at(high) - at(low)) / (high - low);
  const [low, high] = wide;
  const outward = [(at(high) - middle.hip) / (high - nominal), (middle.hip - at(low)) / (nominal - low)];
  const price = {
    narrow: slope(narrow),
    wide: slope(wide),
    bend: (spread * spread * (outward[0] - outward[1])) / (high - low),
  };
  const noneBecause = noPrice(price, {
    moved: Math.abs(at(high) - at(low)),
    uneven: Math.max(...wide.map((value) => known.get(value)!.uneven)),
  });
  return { ...price, ...(noneBecause !== undefined && { noneBecause }) };
}

/** Why two steps tell no price; undefined where they do. */
function noPrice(
  { narrow, wide }: { readonly narrow: number; readonly wide: number },
  { moved, uneven }: { readonly moved: number; readonly uneven: number },
): string | undefined {
  if (!(moved > uneven)) return 'moves hip work by less than its strides differ';
  if (!(narrow * wide > 0)) return 'another sign with another step';
  if (Math.abs(narrow - wide) > AGREE * Math.max(Math.abs(narrow), Math.abs(wide)))
    return 'another size with another step';
  return undefined;
}

/** Of the variance Σ(price·spread)² of what can be measured and has a price, how much each bench test accounts for. */
function testShares(prices: readonly LeverPrice[]): TestShare[] {
  const measured = prices.filter(({ lever }) => lever.test !== undefined);
  const variance = (thigh: Thigh, test?: string): number =>
    measured.reduce((sum, { lever, [thigh]: end }) => {
      const counts = end.noneBecause === undefined && (test === undefined || lever.test === test);
      return counts ? sum + (end.narrow * lever.spread) ** 2 : sum;
    }, 0);
  const all = { prescribed: variance('prescribed'), led: variance('led') };
  const share = (thigh: Thigh, test: string): number =>
    all[thigh] > 0 ? variance(thigh, test) / all[thigh] : 0;
  return [...new Set(measured.map(({ lever }) => lever.test!))]
    .map((test) => ({ test, prescribed: share('prescribed', test), led: share('led', test) }))
    .filter(({ prescribed, led }) => prescribed > 0 || led > 0)
    .sort((a, b) => Math.max(b.prescribed, b.led) - Math.max(a.prescribed, a.led));
}
