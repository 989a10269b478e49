import { newArray, type TakeArray } from '../numeric/reused-arrays.ts';
import type { Demand, JointDemand } from './demand-result.ts';
import { withHumanMoment } from './joint-demand.ts';
import type { JointName } from './stride.ts';

/** How far a person is from the mean person at each joint, in standard deviations of the peak moment. */
export type PersonScores = { readonly [joint in JointName]?: number };

/**
 * What the same task asks of another person of the wearer's mass and stature:
 *
 *     M_z(p) = M(p)·(1 + z·SD_peak/|M_peak|)/(1 + k·SD_peak/|M_peak|)
 *
 * k is the coverage already in the demand, z the person's score, one for all tasks: who is strong on stairs is strong in walking
 * (our assumption; how tasks go together was not published). The whole curve is scaled, so power stays moment × velocity; a score
 * below −|M_peak|/SD_peak turns it over, which a knee that scatters as much as it peaks may well do. Joints whose curve came without a deviation stay as they are.
 * `take` gives the arrays of their torque.
 */
export function personDemand(demand: Demand, scores: PersonScores, take: TakeArray = newArray): Demand {
  if (demand.kind !== 'stride') return demand;
  const joints: { [joint in JointName]?: JointDemand } = { ...demand.joints };
  for (const name of ['hip', 'knee', 'ankle'] as const) {
    const joint = joints[name];
    const z = scores[name];
    if (joint === undefined || z === undefined || Number.isNaN(joint.momentScatter)) continue;
    joints[name] = withHumanMoment(joint, (1 + z * joint.momentScatter) / joint.momentCover, demand, take);
  }
  return { ...demand, joints };
}
