import { compensatedLoop } from '../control/compensated-loop.ts';
import { type Load, loopPolynomial } from '../control/loop-polynomial.ts';
import { stable } from '../control/loop-stability.ts';
import { type Gains, loopAge, ownInertia, type SampledJoint } from '../control/sampled-joint.ts';
import { softwareGains } from '../control/software-gains.ts';
import { linkInertia } from '../drive/link-inertia.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { StudyInput } from './study-input.ts';

/** What a joint may carry while its software must stay stable: what hangs on it, kg·m², and its output held, as a foot on the ground. */
export const loadsOf = (input: StudyInput, joint: DrivenJoint): readonly Load[] => [
  { inertia: linkInertia(joint, input.leg.segments) },
  'held',
];

/** The stiffest spring, as it is at the joint, that is stable with every load; at one damping of the joint. */
export interface StableStiffness {
  /** At the joint, N·m/rad and N·m·s/rad, and what the software then holds. */
  readonly joint: Gains;
  readonly software: Gains;
  /** The load that forbids more; undefined where only the gears do. */
  readonly limitedBy: Load | undefined;
}

/** Step of the search as a share of J/T² or of the gears' stiffness, whichever is less. Our choice. */
const STEP = 1 / 200;

/**
 * Largest stiffness of the joint up to which every smaller one is stable too with `damping` N·m·s/rad of the joint, whatever it carries of
 * `loads`: by steps and bisection. Stiffness 0: none is. `compensated`: kg·m² that software takes off by measured motion.
 */
export function stableStiffness(
  sampled: SampledJoint,
  loads: readonly Load[],
  damping: number,
  compensated = 0,
): StableStiffness {
  const loops = loads.flatMap((load) => {
    const plain = loopPolynomial(sampled, load);
    if (plain === undefined) return [];
    return [{ load, loop: compensated === 0 ? plain : compensatedLoop(plain, sampled, compensated) }];
  });
  const scale = Math.min(sampled.gearStiffness, ownInertia(sampled) / sampled.period ** 2);
  const forbids = (stiffness: number): Load | 'gears' | undefined => {
    const software = softwareGains(sampled, { stiffness, damping });
    if (software === undefined) return 'gears';
    return loops.find(({ loop }) => !stable(loop, software))?.load;
  };
  let lo = 0;
  let hi = STEP * scale;
  let limitedBy = forbids(hi);
  while (limitedBy === undefined) {
    lo = hi;
    hi += STEP * scale;
    limitedBy = forbids(hi);
  }
  for (let k = 0; k < 40; k++) {
    const mid = (lo + hi) / 2;
    const there = forbids(mid);
    if (there === undefined) lo = mid;
    else [hi, limitedBy] = [mid, there];
  }
  const joint = { stiffness: lo, damping };
  return {
    joint,
    software: softwareGains(sampled, joint)!,
    limitedBy: limitedBy === 'gears' ? undefined : limitedBy,
  };
}

/** Dampings that are tried for the best. */
const TRIED = 100;

/** The damping of the joint that allows most, of those up to J/(4·T_tot). */
export function bestStableStiffness(sampled: SampledJoint, loads: readonly Load[]): StableStiffness {
  const top = ownInertia(sampled) / loopAge(sampled) / 4;
  let best = stableStiffness(sampled, loads, 0);
  for (let k = 1; k <= TRIED; k++) {
    const there = stableStiffness(sampled, loads, (top * k) / TRIED);
    if (there.joint.stiffness > best.joint.stiffness) best = there;
  }
  return best;
}
