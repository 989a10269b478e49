import { renderedImpedance } from './rendered-impedance.ts';
import { type Gains, ownDamping, type SampledJoint } from './sampled-joint.ts';

/** Damping that a joint must bring itself so that the sampled loop never gives energy away, and where it needs most. */
export interface NeededDamping {
  /** b_min, N·m·s/rad. */
  readonly damping: number;
  /** Hz at which it is needed; 0: slow motion. */
  readonly frequency: number;
}

/** Instants between slow motion and half the sample rate at which the condition is looked at. */
const GRID = 2000;

/** What one N·m/rad and one N·m·s/rad ask for at frequencies evenly apart, the first slow motion. */
export interface PassivityGrid {
  /** Hz of the last. */
  readonly top: number;
  readonly spring: Float64Array;
  readonly damper: Float64Array;
}

/**
 * The condition of passivity on a grid of θ = ωT from 0 to π, d whole periods of delay:
 *
 *     b > (T/2)/(1 − cos θ)·Re{(1 − e^(−jθ))·C(e^(jθ))·e^(−jθd)},   C = K + B·(1 − a)·(1 − z⁻¹)/(T·(1 − a·z⁻¹))
 *     θ → 0:  b > K·T·(2d + 1)/2 − B;   no delay, plain difference:  b > K·T/2 + |B|
 *
 * Colgate & Schenkel, J. Robotic Systems 14 (1997) 37–47 (FROM MEMORY); derived anew: of all motions from sample to sample the one at
 * constant speed takes the least energy, Σ [b·Δ²/T + u·Δ] with u the torque of the sample. A part of a period counts as the worse of the
 * two whole numbers beside it; the current loop's lag is not in it, see `passivity`.
 */
export function passivityGrid(joint: SampledJoint, delays: number): PassivityGrid {
  const { period: T, filterPole: a, constantError } = joint;
  const spring = new Float64Array(GRID + 1);
  const damper = new Float64Array(GRID + 1);
  spring[0] = ((1 + constantError) * T * (2 * delays + 1)) / 2;
  damper[0] = -(1 + constantError);
  for (let k = 1; k <= GRID; k++) {
    const theta = (Math.PI * k) / GRID;
    const [cos, sin] = [Math.cos(theta), Math.sin(theta)];
    // e = (1 − z⁻¹)·z⁻ᵈ
    const [dc, ds] = [Math.cos(delays * theta), Math.sin(delays * theta)];
    const eRe = (1 - cos) * dc + sin * ds;
    const eIm = sin * dc - (1 - cos) * ds;
    // D = (1 − a)(1 − z⁻¹)/(T(1 − a·z⁻¹))
    const size = (1 - a * cos) ** 2 + (a * sin) ** 2;
    const dRe = ((1 - a) * ((1 - cos) * (1 - a * cos) + a * sin * sin)) / (T * size);
    const dIm = ((1 - a) * (sin * (1 - a * cos) - (1 - cos) * a * sin)) / (T * size);
    const factor = ((1 + constantError) * T) / 2 / (1 - cos);
    spring[k] = factor * eRe;
    damper[k] = factor * (eRe * dRe - eIm * dIm);
  }
  return { top: 1 / (2 * T), spring, damper };
}

/** Share of the sample rate up to which the lag is looked at. */
const LAG_TOP = 0.4;

/** Damping that the lag of the current loop asks for on top, over frequency:  b − Im S/ω of one N·m/rad and of one N·m·s/rad. */
function lagGrid(joint: SampledJoint): PassivityGrid {
  const plain: SampledJoint = {
    ...joint,
    gearStiffness: Number.POSITIVE_INFINITY,
    drivingEfficiency: 1,
    backDrivenEfficiency: 1,
  };
  const own = ownDamping(joint);
  const top = LAG_TOP / joint.period;
  const count = GRID / 2;
  const ask = (stiffness: number, damping: number): Float64Array =>
    Float64Array.from(
      { length: count + 1 },
      (_, k) => own - renderedImpedance(plain, { stiffness, damping }, (top * (k + 1e-3)) / count).damping,
    );
  return { top, spring: ask(1, 0), damper: ask(0, 1) };
}

/** Largest need over the grid. */
export function neededDamping(grid: PassivityGrid, { stiffness, damping }: Gains): NeededDamping {
  const { top, spring, damper } = grid;
  let [most, at] = [Number.NEGATIVE_INFINITY, 0];
  for (let k = 0; k < spring.length; k++) {
    const need = stiffness * spring[k] + damping * damper[k];
    if (need > most) [most, at] = [need, k];
  }
  return { damping: most, frequency: (top * at) / (spring.length - 1) };
}

/** Every grid of a joint: whole numbers of periods beside its delay, then the lag's. */
export function passivityGrids(joint: SampledJoint): readonly PassivityGrid[] {
  const periods = joint.delay / joint.period;
  const low = Math.floor(periods + 1e-9);
  const whole = periods - low < 1e-9 ? [low] : [low, low + 1];
  return [...whole.map((delays) => passivityGrid(joint, delays)), lagGrid(joint)];
}

/** Whether the joint is safe against anything passive that touches it, and what it lacks. */
export interface Passivity {
  readonly passive: boolean;
  readonly needed: NeededDamping;
  /** b of the joint itself. */
  readonly own: number;
}

/**
 * b of the joint against what the sampled law needs, and against what keeps the rendered damping Im S/ω from being negative anywhere up
 * to 0.4/T, where the current loop's lag counts too; the larger need of the two. Dry friction and mesh loss help a joint at rest and are
 * not counted on. Gears rigid.
 */
export function passivity(joint: SampledJoint, gains: Gains): Passivity {
  const needed = passivityGrids(joint)
    .map((grid) => neededDamping(grid, gains))
    .reduce((a, b) => (b.damping > a.damping ? b : a));
  const own = ownDamping(joint);
  return { passive: own > needed.damping, needed, own };
}

/**
 * Largest stiffness, N·m/rad, at which the joint is passive with this damping of the software; NaN where none is. The need is a straight
 * line in the stiffness at every frequency.
 */
export function largestPassiveStiffness(joint: SampledJoint, damping: number): number {
  const own = ownDamping(joint);
  const grids = passivityGrids(joint);
  let most = Number.POSITIVE_INFINITY;
  let least = 0;
  for (const { spring, damper } of grids)
    for (let k = 0; k < spring.length; k++) {
      const room = own - damping * damper[k];
      if (spring[k] > 0) most = Math.min(most, room / spring[k]);
      else if (spring[k] < 0) least = Math.max(least, room / spring[k]);
      else if (!(room > 0)) return Number.NaN;
    }
  return most > least ? most : Number.NaN;
}
