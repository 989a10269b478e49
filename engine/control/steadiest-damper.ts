import { lessRoot, type RootBracket } from '../numeric/roots-inside.ts';
import { type Load, type LoopPolynomial, loopPolynomial } from './loop-polynomial.ts';
import { slowestBracket, stable } from './loop-stability.ts';
import type { SampledJoint } from './sampled-joint.ts';
import { jointStiffness, softwareGains } from './software-gains.ts';

/** Share of the search's span at which it ends. Our choice. */
const WITHIN = 0.01;
/** Ratio of the golden section. */
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * Damper of the joint, N·m·s/rad, with which a push against the held joint dies out fastest beside a spring of `stiffness` N·m/rad:
 *
 *     B_d = argmin max |z|,   p(z; K_s, B_s) = 0,   0 ≤ B_s ≤ 2·√((K_s + K_g)·J_r)
 *
 * p of `loopPolynomial` with the output held, gains of the software as in `softwareGains`, J_r of the rotor: it swings between the software's
 * spring and the gears, and a damper beyond its critical one only slows. Rigid gears, or an angle measured at the joint: the held joint does
 * not move, and the damper is the critical one, 2·√(K·J). By golden section. NaN where no software makes the joint so stiff.
 */
export const steadiestDamper = (joint: SampledJoint, stiffness: number): number =>
  remembered(joint, `steadiest ${stiffness}`, () => searched(joint, stiffness));

function searched(joint: SampledJoint, stiffness: number): number {
  const { rotorInertia, gearStiffness } = joint;
  const one = softwareGains(joint, { stiffness, damping: 1 });
  if (one === undefined) return Number.NaN;
  const loop = loopOf(joint, 'held');
  if (loop === undefined) return 2 * Math.sqrt(stiffness * rotorInertia);
  const left = (damping: number): RootBracket => slowestBracket(loop, { stiffness: one.stiffness, damping });
  let [lo, hi] = [0, 2 * Math.sqrt((one.stiffness + gearStiffness) * rotorInertia)];
  const span = hi;
  let [a, b] = [hi - GOLDEN * hi, GOLDEN * hi];
  let [atA, atB] = [left(a), left(b)];
  while (hi - lo > WITHIN * span) {
    if (lessRoot(atA, atB)) {
      [hi, b, atB] = [b, a, atA];
      a = hi - GOLDEN * (hi - lo);
      atA = left(a);
    } else {
      [lo, a, atA] = [a, b, atB];
      b = lo + GOLDEN * (hi - lo);
      atB = left(b);
    }
  }
  return (lo + hi) / 2 / one.damping;
}

/** Whether the joint is stable with a spring of `stiffness` N·m/rad and its steadiest damper, whatever it carries of `loads`. */
function isBorne(joint: SampledJoint, loads: readonly Load[], stiffness: number): boolean {
  const gains = softwareGains(joint, { stiffness, damping: steadiestDamper(joint, stiffness) });
  return gains !== undefined && loopsOf(joint, loads).every((loop) => stable(loop, gains));
}

/** Steps up to the gears' own stiffness, before halving: a stiffer spring may be stable again beyond one that is not. Our choice. */
const TRIED = 24;

/** Stiffness, N·m/rad, up to which every smaller one is borne too, by steps and halving, within `within`; +∞ where the gears are rigid, which set the search no scale. */
export const stiffestBorne = (joint: SampledJoint, loads: readonly Load[], within: number): number =>
  remembered(joint, `stiffest ${loads.map(named).join(' ')} ${within}`, () => {
    if (joint.gearStiffness === Number.POSITIVE_INFINITY) return Number.POSITIVE_INFINITY;
    let [lo, hi] = [0, joint.gearStiffness / TRIED];
    while (isBorne(joint, loads, hi)) [lo, hi] = [hi, hi + joint.gearStiffness / TRIED];
    while (hi - lo > within) {
      const middle = (lo + hi) / 2;
      if (isBorne(joint, loads, middle)) lo = middle;
      else hi = middle;
    }
    return lo;
  });

/**
 * Damper of the software, N·m·s/rad, beyond which its spring of `stiffness` N·m/rad is stable no more, whatever the joint carries of `loads`:
 * by halving from the steadiest one. 0: that is none.
 */
export const largestDamper = (joint: SampledJoint, loads: readonly Load[], stiffness: number): number =>
  remembered(joint, `largest ${loads.map(named).join(' ')} ${stiffness}`, () => {
    const loops = loopsOf(joint, loads);
    const ok = (damping: number): boolean => loops.every((loop) => stable(loop, { stiffness, damping }));
    const atJoint = jointStiffness(joint, stiffness);
    let lo = steadiestDamper(joint, atJoint) * (stiffness / atJoint) ** 2;
    if (!ok(lo)) return 0;
    let hi = 2 * lo;
    while (ok(hi)) [lo, hi] = [hi, 2 * hi];
    while (hi - lo > WITHIN * hi) {
      const middle = (lo + hi) / 2;
      if (ok(middle)) lo = middle;
      else hi = middle;
    }
    return lo;
  });

const named = (load: Load): string => (load === 'held' ? load : String(load.inertia));

/** What was worked out of one joint. */
interface Known {
  readonly loops: Map<string, LoopPolynomial | undefined>;
  readonly numbers: Map<string, number>;
}
/** Joints that are remembered, the oldest forgotten first: a shortlist pairs every knee with every ankle, and walks each twice. Our choice. */
const KEPT = 256;
const known = new Map<string, Known>();
/** The same by the object, for as long as whoever made it asks. */
const asked = new WeakMap<SampledJoint, Known>();

/** By the numbers of the joint, not by the object: whoever asks makes it anew. */
function knownOf(joint: SampledJoint): Known {
  const again = asked.get(joint);
  if (again !== undefined) return again;
  const key = Object.values(joint).join(' ');
  let found = known.get(key);
  if (found === undefined) {
    found = { loops: new Map(), numbers: new Map() };
    known.set(key, found);
    if (known.size > KEPT) known.delete(known.keys().next().value!);
  }
  asked.set(joint, found);
  return found;
}

function remembered(joint: SampledJoint, key: string, make: () => number): number {
  const { numbers } = knownOf(joint);
  const made = numbers.get(key) ?? make();
  numbers.set(key, made);
  return made;
}

function loopOf(joint: SampledJoint, load: Load): LoopPolynomial | undefined {
  const { loops } = knownOf(joint);
  const key = named(load);
  if (!loops.has(key)) loops.set(key, loopPolynomial(joint, load));
  return loops.get(key);
}

const loopsOf = (joint: SampledJoint, loads: readonly Load[]): LoopPolynomial[] =>
  loads.flatMap((load) => loopOf(joint, load) ?? []);
