import {
  COURSE,
  COURSE_WIDTH,
  type CourseOf,
  type Pace,
  pacedCourse,
  START,
  type WalkCourse,
} from './walk-course.ts';

/** How somebody stands, walks, sits down and rises. Angles rad, engine signs. */
export interface ChairWay {
  /** Thigh and shank against the vertical where the foot stands flat: in the stride where it stops, and on the seat. */
  readonly standing: { readonly thigh: number; readonly shank: number };
  readonly seated: { readonly thigh: number; readonly shank: number };
  readonly thighLength: number;
  readonly shankLength: number;
  /** s to sit down and to rise, and on the seat. */
  readonly over: number;
  readonly sits: number;
  /** Of the weight, what the other leg takes while it sits down and rises. */
  readonly share: number;
}

/** Place of the stride where it stops: the foot under the hip, the other leg in the air. Our choice: what stands beside it is then free to take its half. */
export const STOPS_AT = 0.3;
/** Stride from the first contact on in which it first stops, and strides up to the next stop. Our choice. */
const FIRST = 2;
const BETWEEN = 2;
/** s to stop or go on; to take half of the weight on the other leg, or give it back; to stand. Our choice. */
const SLOWS = 0.5;
const SHARES = 0.8;
const STANDS = 3;
/** Share of the weight that both feet keep on the seat, each; part of the way in which the seat takes the rest. Our choice. */
export const SEATED_SHARE = 0.1;
const GIVES = 0.3;
/** s beyond the end, since a walk ends with a whole period of its controller. */
const SPARE = 0.05;

/** Times, s, of all that happens. */
export interface ChairTimes {
  /** Rests from, goes on from; again rests, sits down, is seated, rises, stands again, ends. */
  readonly rests: number;
  readonly goes: number;
  readonly restsAgain: number;
  readonly lowers: number;
  readonly seated: number;
  readonly rises: number;
  readonly standsAgain: number;
  readonly ends: number;
}

export function chairTimes(strideTime: number, { over, sits }: Pick<ChairWay, 'over' | 'sits'>): ChairTimes {
  const rests = (1 - START + FIRST - 1 + STOPS_AT) * strideTime + SLOWS / 2;
  const goes = rests + STANDS;
  const restsAgain = goes + BETWEEN * strideTime + SLOWS;
  const lowers = restsAgain + STANDS;
  const seated = lowers + over;
  const rises = seated + sits;
  const standsAgain = rises + over;
  return {
    rests,
    goes,
    restsAgain,
    lowers,
    seated,
    rises,
    standsAgain,
    ends: standsAgain + STANDS,
  };
}

/** 10u³ − 15u⁴ + 6u⁵ with its first and second derivative, u held within 0 … 1: least jerk from rest to rest. */
export function leastJerk(u: number): [value: number, slope: number, curvature: number] {
  if (u <= 0) return [0, 0, 0];
  if (u >= 1) return [1, 0, 0];
  return [u ** 3 * (10 - 15 * u + 6 * u * u), 30 * u * u * (1 - u) ** 2, 60 * u * (1 - u) * (1 - 2 * u)];
}

/**
 * Walks, stands, walks on, stands, sits down, sits, rises, stands. Walking and stopping as `pacedCourse`; standing, the other leg comes to half
 * of the weight. Down and up with least jerk in thigh and shank over a foot that stays flat where it stands:
 *
 *     x = x_0 − Δ(L_1·sin φ_1 + L_2·sin φ_2),   z = z_0 + Δ(L_1·cos φ_1 + L_2·cos φ_2)
 *
 * Our own proposal, since only peaks of rising were published. The place in the stride is no number from there on.
 */
export function chairCourse(of: CourseOf, way: ChairWay, step: number): WalkCourse {
  const strideTime = Math.round(of.hip.strideLength / of.speed / step) * step;
  const t = chairTimes(strideTime, way);
  const pace: Pace = [
    { at: 0, share: 1 },
    { at: t.rests - SLOWS, share: 1 },
    { at: t.rests, share: 0 },
    { at: t.goes, share: 0 },
    { at: t.goes + SLOWS, share: 1 },
    { at: t.restsAgain - SLOWS, share: 1 },
    { at: t.restsAgain, share: 0 },
  ];
  const perStride = Math.ceil(t.ends / step);
  const steps = perStride + Math.ceil(SPARE / step);
  const walked = pacedCourse(of, step, Math.ceil((steps * step) / strideTime), pace);
  const table = walked.table.slice(0, steps * COURSE_WIDTH);
  const { standing, seated, thighLength: L1, shankLength: L2, over } = way;
  const turn = { thigh: seated.thigh - standing.thigh, shank: seated.shank - standing.shank };
  const first = Math.round(t.lowers / step);
  const stood = table.slice(first * COURSE_WIDTH, (first + 1) * COURSE_WIDTH);
  const share = stood[COURSE.other] / of.weight;
  for (let i = 0; i < steps; i++) {
    const at = i * COURSE_WIDTH;
    const now = i * step;
    const other = otherShare(now);
    if (other !== undefined) table[at + COURSE.other] = of.weight * other;
    if (now < t.lowers) continue;
    const down = now < t.rises;
    const u = down ? (now - t.lowers) / over : (t.standsAgain - now) / over;
    const [y, ys, yss] = leastJerk(u);
    const [rate, bend] = [((down ? 1 : -1) * ys) / over, yss / over / over];
    const [p1, p2] = [standing.thigh + turn.thigh * y, standing.shank + turn.shank * y];
    const [w1, w2] = [turn.thigh * rate, turn.shank * rate];
    const [a1, a2] = [turn.thigh * bend, turn.shank * bend];
    const reach = L1 * Math.sin(p1) + L2 * Math.sin(p2);
    const height = L1 * Math.cos(p1) + L2 * Math.cos(p2);
    const reachFirst = L1 * Math.sin(standing.thigh) + L2 * Math.sin(standing.shank);
    const heightFirst = L1 * Math.cos(standing.thigh) + L2 * Math.cos(standing.shank);
    table[at + COURSE.x] = stood[COURSE.x] - reach + reachFirst;
    table[at + COURSE.xRate] = -(L1 * Math.cos(p1) * w1 + L2 * Math.cos(p2) * w2);
    table[at + COURSE.xAcceleration] = -(
      L1 * (Math.cos(p1) * a1 - Math.sin(p1) * w1 * w1) +
      L2 * (Math.cos(p2) * a2 - Math.sin(p2) * w2 * w2)
    );
    table[at + COURSE.height] = stood[COURSE.height] + height - heightFirst;
    table[at + COURSE.heightRate] = -(L1 * Math.sin(p1) * w1 + L2 * Math.sin(p2) * w2);
    table[at + COURSE.thigh] = p1;
    table[at + COURSE.thighRate] = w1;
    table[at + COURSE.thighAcceleration] = a1;
    table[at + COURSE.hipMoment] = 0;
    table[at + COURSE.place] = Number.NaN;
  }
  return { ...walked, perStride, steps, stretch: true, table };

  /** Of the weight on the other leg where it is not the walk's own. */
  function otherShare(now: number): number | undefined {
    const part = (from: number, lasts: number): number => leastJerk((now - from) / lasts)[0];
    if (now >= t.rests && now < t.goes)
      return share + (0.5 - share) * (part(t.rests, SHARES) - part(t.goes - SHARES, SHARES));
    if (now < t.restsAgain) return undefined;
    const [gives, takes] = [GIVES * over, over - GIVES * over];
    return (
      share +
      (0.5 - share) * part(t.restsAgain, SHARES) +
      (way.share - 0.5) * part(t.lowers, gives) +
      (SEATED_SHARE - way.share) * part(t.lowers + takes, gives) +
      (way.share - SEATED_SHARE) * part(t.rises, gives) +
      (0.5 - way.share) * part(t.rises + takes, gives)
    );
  }
}
