import type { LoopPolynomial } from './loop-polynomial.ts';
import type { SampledJoint } from './sampled-joint.ts';

/**
 * The loop of `loopPolynomial` with an inertia Ĵ, kg·m², taken off by the motion that is measured: the software adds
 *
 *     u_Ĵ[k] = Ĵ·α[k],   α[k] = a·α[k−1] + (1 − a)·(v[k] − v[k−1])/T
 *     p_Ĵ(z) = p(z)·(z − a_f) − Ĵ·n(z)·((1 − a_f)·(z − 1)/T)²
 *
 * α is the filtered difference of the filtered speed, as the damper has it. In stance the wished speed is nothing, so that a feed-forward
 * of wished motion has nothing to take off: only measured motion tells of the inertia. α is late by the delay and by the filter twice.
 */
export function compensatedLoop(
  loop: LoopPolynomial,
  { filterPole: a, period: T }: SampledJoint,
  inertia: number,
): LoopPolynomial {
  const { spring, damper } = loop;
  const open = longer(loop.open, -a, 1);
  const slope = ((1 - a) / T) * inertia;
  longer(damper, -slope, slope).forEach((x, i) => {
    open[i] -= x;
  });
  return { open, spring: longer(spring, -a, 1), damper: longer(damper, -a, 1) };
}

/** p(z)·(constant + first·z). */
function longer(p: Float64Array, constant: number, first: number): Float64Array {
  const out = new Float64Array(p.length + 1);
  p.forEach((x, i) => {
    out[i] += constant * x;
    out[i + 1] += first * x;
  });
  return out;
}
