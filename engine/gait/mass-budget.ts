import { type JointDemand, type MassCost, STRIDE_SAMPLES } from './demand-result.ts';
import { deviceMasses, deviceMoment } from './device-moment.ts';
import { jointWork } from './joint-demand.ts';
import type { LegSegments, Segment, Stride } from './stride.ts';

/** kg: the step in which a mass budget is argued. */
const ADDED = 0.1;

const massless = (segment: Segment): Segment => ({ ...segment, mass: 0, inertia: 0 });

/**
 * What 100 g at the centre of mass of shank or foot costs in swing, at unchanged motion.
 *
 * Inverse dynamics is linear in mass, so the added moment is that of the added mass alone on a massless leg. The added work is
 * the change of positive joint work over the stride when that moment is added, weighted as swing is. Hip work is the wearer's.
 * Empty where the stride has no thigh angle or no moments: then there is nothing to add to.
 */
export function massBudget(
  stride: Stride,
  segments: LegSegments,
  hip: JointDemand | undefined,
  knee: JointDemand | undefined,
  weight: Float64Array,
): MassCost[] {
  if (hip === undefined || knee === undefined || Number.isNaN(knee.deviceMoment[0] + hip.moment[0]))
    return [];
  const device = deviceMasses(segments);
  const power = new Float64Array(STRIDE_SAMPLES);
  const step = stride.strideTime / (STRIDE_SAMPLES - 1);
  return (['shank', 'foot'] as const).map((where) => {
    const alone = { ...device, shank: massless(device.shank), foot: massless(device.foot) };
    const added = deviceMoment(stride, { ...alone, [where]: { ...alone[where], mass: ADDED } });
    const cost = (joint: JointDemand, extra: Float64Array) => {
      let peak = 0;
      for (let i = 0; i < STRIDE_SAMPLES; i++) {
        const inSwing = (1 - weight[i]) * extra[i];
        if (Math.abs(inSwing) > peak) peak = Math.abs(inSwing);
        power[i] = joint.power[i] + inSwing * joint.velocity[i];
      }
      return { peak, work: jointWork(power, step).positive - joint.work.positive };
    };
    const atHip = cost(hip, added.hip);
    const atKnee = cost(knee, added.knee);
    return {
      where,
      added: ADDED,
      hipMoment: atHip.peak,
      kneeMoment: atKnee.peak,
      hipWork: atHip.work,
      kneeWork: atKnee.work,
    };
  });
}
